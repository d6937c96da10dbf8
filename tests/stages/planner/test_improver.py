"""The improver: never worse than the list plan, always a plan that holds, best where everything can be tried."""

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, assume, given, settings

from stages.bench.shops import invented_shop
from stages.planner.effort import Effort, How
from stages.planner.improver import Search
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.screen import screen
from stages.planner.verify import verify
from tests.stages.planner.brute import best_cost
from tests.stages.planner.problems import problems

SLOW = [HealthCheck.too_slow, HealthCheck.filter_too_much]
Searched = Callable[[Problem], Schedule]


def search(problem: Problem, rounds: int, seed: int = 1) -> Search:
    """A search by one worker that only counts its rounds."""
    return Search(problem, Effort(rounds=rounds, seed=seed))


@settings(max_examples=25, deadline=None, suppress_health_check=SLOW)
@given(problem=problems(steps=8, hard=True))
def test_what_comes_out_holds_and_costs_no_more_than_the_list_plan(problem: Problem) -> None:
    problem = screen(problem).problem
    start = list_plan(problem)
    assume(not start.left)
    found = search(problem, rounds=1).run().schedule
    assert verify(problem, found) == ()
    assert found.cost.total <= start.cost.total


@settings(max_examples=25, deadline=None, suppress_health_check=SLOW)
@given(problem=problems(steps=3, horizon=9, hands=2, facts=False))
def test_small_problems_are_solved_as_well_as_by_trying_everything(problem: Problem) -> None:
    problem = screen(problem).problem
    assume(problem.steps and not list_plan(problem).left)
    found = search(problem, rounds=1).run()
    assert found.how is How.PROVED
    assert found.schedule.cost.total == best_cost(problem)


@pytest.fixture(scope="module")
def shop() -> Problem:
    """A shop with few boats."""
    return invented_shop(4, 1)


def test_a_shop_is_planned_better_than_by_the_list_and_the_plan_holds(shop: Problem) -> None:
    found = search(shop, rounds=5).run()
    assert found.how is How.ALL_ROUNDS
    assert verify(shop, found.schedule) == ()
    assert found.schedule.cost.total < list_plan(shop).cost.total


def test_the_same_seed_and_rounds_give_the_same_plan(shop: Problem) -> None:
    first, again = (search(shop, rounds=2, seed=7).run().schedule for _ in range(2))
    assert first == again


def test_each_plan_that_is_told_is_better_than_the_one_before(shop: Problem) -> None:
    told: list[Schedule] = []
    Search(shop, Effort(rounds=4), tell=told.append).run()
    costs = [schedule.cost.total for schedule in told]
    assert costs == sorted(set(costs), reverse=True)

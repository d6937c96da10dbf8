"""The solver's model: whatever it answers holds by the verifier, costs no more; where proved, nothing is better."""

from hypothesis import HealthCheck, assume, given, settings

from stages.planner.ground import Ground
from stages.planner.listplan import list_plan
from stages.planner.model import Model
from stages.planner.problem import Problem
from stages.planner.screen import screen
from stages.planner.solver import Asked, Ended
from stages.planner.verify import verify
from tests.stages.planner.brute import best_cost
from tests.stages.planner.problems import problems

SLOW = [HealthCheck.too_slow, HealthCheck.filter_too_much]


@settings(max_examples=50, deadline=None, suppress_health_check=SLOW)
@given(problem=problems(steps=8, hard=True))
def test_what_the_solver_answers_holds_and_costs_no_more_than_its_start(problem: Problem) -> None:
    problem = screen(problem).problem
    start = list_plan(problem)
    assume(start.placed and not verify(problem, start))
    ground = Ground(problem)
    model = Model(ground, start, ground.movable)
    answered = model.draft.solve(Asked(deterministic=1.0))
    assert answered.how in (Ended.PROVED, Ended.FOUND)
    found = model.read(answered.value)
    assert verify(problem, found) == ()
    assert found.cost.total <= start.cost.total


@settings(max_examples=30, deadline=None, suppress_health_check=SLOW)
@given(problem=problems(steps=3, horizon=9, hands=2, facts=False))
def test_what_is_proved_is_as_good_as_trying_everything(problem: Problem) -> None:
    problem = screen(problem).problem
    start = list_plan(problem)
    assume(start.placed and not start.left)
    ground = Ground(problem)
    model = Model(ground, start, ground.movable)
    answered = model.draft.solve(Asked(deterministic=5.0))
    assert answered.how is Ended.PROVED
    assert model.read(answered.value).cost.total == best_cost(problem)

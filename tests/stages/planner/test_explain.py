"""What a step waits for, on small plans made by hand: the arithmetic stands beside each."""

from hypothesis import given, settings

from stages.planner.decode import decode
from stages.planner.explain import Cause, Wait, chain, waits
from stages.planner.listplan import list_plan
from stages.planner.problem import Held, Hold, Link, Problem, Resource, Use
from tests.stages.planner.problems import problems
from tests.stages.planner.test_listplan import a_problem, a_step

DRIES_THERE = (Use(resource="bench", held=Held.READY),)
RACK = Resource(key="rack", title="Rack", capacity=1)
NO_PLACE: tuple[Use, ...] = ()


def what_keeps(step: str, problem: Problem, *order: str) -> Wait:
    """The wait of one step in the plan along an order."""
    return next(wait for wait in waits(problem, decode(problem, order)) if wait.step == step)


def test_a_coat_waits_for_the_one_before_to_dry() -> None:
    links = (Link(before="oil", after="varnish"),)
    problem = a_problem(a_step("oil", 2, dry=24), a_step("varnish", 1), links=links)
    wait = what_keeps("varnish", problem, "oil", "varnish")
    assert (wait.cause, wait.blocker, wait.until) == (Cause.BEFORE, "oil", 26)
    assert str(wait) == "“oil” is dry at slot 26."


def test_a_boat_waits_for_the_place_that_another_dries_in() -> None:
    problem = a_problem(a_step("coat", 6, dry=20, uses=DRIES_THERE), a_step("scrape", 2, job="h2"))
    wait = what_keeps("scrape", problem, "coat", "scrape")
    assert (wait.cause, wait.blocker, wait.since, wait.until) == (Cause.PLACE, "coat", 0, 26)
    assert str(wait) == "Bench is taken by h1, “coat”, until slot 26."


def test_a_coat_waits_for_room_on_the_rack_where_it_will_dry() -> None:
    uses = (Use(resource="rack", held=Held.DRYING),)
    steps = (a_step("one", 2, dry=3, uses=uses), a_step("two", 2, dry=3, uses=uses, job="h2"))
    wait = what_keeps("two", a_problem(*steps, resources=(RACK,)), "one", "two")
    # Rack full from 2 to 5: the second's hands end at 5 and begin at 3, though Asa is free at 2.
    assert (wait.cause, wait.blocker, wait.until) == (Cause.PLACE, "one", 5)


def test_a_boat_waits_for_the_hands_that_another_has() -> None:
    problem = a_problem(a_step("rub down", 6, uses=NO_PLACE), a_step("scrape", 2, job="h2", uses=NO_PLACE))
    wait = what_keeps("scrape", problem, "rub down", "scrape")
    assert (wait.cause, wait.blocker, wait.until) == (Cause.HANDS, "rub down", 6)
    assert str(wait) == "Asa is at “rub down” of h1 until slot 6."


def test_work_waits_for_the_morning() -> None:
    links = (Link(before="glue", after="plane"),)
    problem = a_problem(a_step("glue", 2, dry=10), a_step("plane", 2), links=links)
    # Dry at 12; Asa goes home at 8 and comes at 24.
    wait = what_keeps("plane", problem, "glue", "plane")
    assert (wait.cause, wait.since, wait.until) == (Cause.HOURS, 12, 24)


def test_work_in_the_yard_waits_for_dry_weather() -> None:
    problem = a_problem(a_step("steam", 4, weather="dry"), weather={"dry": ((28, 40),)})
    wait = what_keeps("steam", problem, "steam")
    assert (wait.cause, wait.since, wait.until) == (Cause.WEATHER, 0, 28)


def test_a_step_waits_for_its_approval() -> None:
    problem = a_problem(a_step("canvas", 2, holds=(Hold(until=5, why="approval"),)))
    wait = what_keeps("canvas", problem, "canvas")
    assert (wait.cause, str(wait)) == (Cause.HOLD, "It waits for an approval until slot 5.")


def test_the_chain_leads_from_now_to_the_last_step_of_a_late_boat_through_another() -> None:
    coat, scrape = a_step("coat", 6, dry=20, uses=DRIES_THERE), a_step("scrape", 2, job="h2")
    varnish = a_step("varnish", 1, job="h2")
    problem = a_problem(coat, scrape, varnish, links=(Link(before="scrape", after="varnish"),))
    plan = decode(problem, ["coat", "scrape", "varnish"])
    # Nothing keeps the coat of h1; h2 waits for its place, then its varnish for the scraping.
    found = [(wait.step, wait.cause, wait.blocker) for wait in chain(problem, plan, "h2")]
    assert found == [("scrape", Cause.PLACE, "coat"), ("varnish", Cause.BEFORE, "scrape")]


@given(problem=problems(steps=12))
@settings(deadline=None)
def test_every_step_that_starts_after_now_says_why_and_none_waits_past_its_start(problem: Problem) -> None:
    plan = list_plan(problem)
    under_way = {step.key for step in problem.steps if step.begun or step.since is not None}
    found = {wait.step: wait for wait in waits(problem, plan)}
    assert set(found) == {placed.step for placed in plan.placed if placed.start > 0} - under_way
    for wait in found.values():
        assert wait.until <= max(plan.by_step[wait.step].start, plan.by_step[wait.step].hands_end)
        assert str(wait)

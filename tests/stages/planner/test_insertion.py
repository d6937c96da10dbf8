"""One boat more: behind the others it makes nobody wait, with a promise it may; small shops worked by hand."""

from stages.planner.insertion import behind, promised
from stages.planner.listplan import list_plan
from stages.planner.problem import Job, Link, Person, Problem, Resource, Step, Use
from stages.planner.screen import without
from stages.planner.verify import verify

# One person, slots 0-8 of every day of 24; each boat takes 6 slots, a day each.
ANN = Person(key="ann", name="Ann", skills=frozenset({"wood"}), works=tuple((24 * d, 24 * d + 8) for d in range(20)))


def work(key: str, job: str, slots: int = 6, skill: str = "wood") -> Step:
    return Step(key=key, job=job, title=key, sittings=(slots,), skill=skill, uses=(Use(resource="bench"),))


def shop(*steps: Step, links: tuple[Link, ...] = ()) -> Problem:
    """Two boats with promises, and a new one without."""
    return Problem(
        horizon=480,
        people=(ANN,),
        resources=(Resource(key="bench", title="Bench", capacity=1),),
        jobs=(Job(key="a", due=6, weight=10), Job(key="b", due=30, weight=10), Job(key="new")),
        steps=(work("a1", "a"), work("b1", "b"), *steps),
        links=links,
    )


def test_behind_the_others_it_takes_what_they_leave_and_moves_nobody() -> None:
    problem = shop(work("n1", "new"), work("n2", "new", 2), links=(Link(before="n1", after="n2"),))
    fit = behind(problem, "new", list_plan(without(problem, ["n1", "n2"])))
    # a on the first day, b on the second; the new boat's six slots on the third, its two right after
    assert (fit.start, fit.done) == (48, 56)
    assert fit.moved == ()
    assert verify(problem, fit.plan) == ()


def test_a_short_step_fits_into_what_is_left_of_a_day() -> None:
    problem = shop(work("n1", "new", 2))
    assert behind(problem, "new", list_plan(without(problem, ["n1"]))).done == 8


def test_with_a_promise_it_goes_first_where_that_costs_less_and_tells_who_waits() -> None:
    problem = shop(work("n1", "new"))
    fit = promised(problem, "new", 6, 100, list_plan)
    assert (fit.start, fit.done) == (0, 6)
    # a goes on the second day instead of the first, b on the third
    assert [(one.job, one.was, one.now) for one in fit.moved] == [("a", 6, 30), ("b", 30, 54)]


def test_a_promise_that_weighs_little_moves_nobody() -> None:
    fit = promised(shop(work("n1", "new")), "new", 6, 1, list_plan)
    assert fit.done == 54
    assert fit.moved == ()


def test_what_nobody_can_do_is_told_and_has_no_finish() -> None:
    problem = shop(work("n1", "new", skill="sails"))
    fit = behind(problem, "new", list_plan(without(problem, ["n1"])))
    assert fit.done is None
    assert [str(one) for one in fit.left] == ["Nobody here can do “sails”."]

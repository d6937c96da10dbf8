"""What would help: each idea against a small shop in which its worth can be worked out."""

from dataclasses import replace

from stages.planner.listplan import list_plan
from stages.planner.problem import Job, Person, Problem, Resource, Step, Use
from stages.planner.screen import screen
from stages.planner.whatif import Idea, merged, more_hours, one_more_place, what_helps

A_DAY = 96


def shop(capacity: int) -> Problem:
    """Two people and two boats of eight slots each, promised for the end of the first morning."""
    people = tuple(
        Person(key=key, name=key, skills=frozenset({"wood"}), works=((0, 8), (A_DAY, A_DAY + 8))) for key in "xy"
    )
    steps = tuple(
        Step(key=key, job=key, sittings=(8,), skill="wood", uses=(Use(resource="bench"),)) for key in ("a", "b")
    )
    return Problem(
        horizon=480,
        people=people,
        resources=(Resource(key="bench", title="wood bench", capacity=capacity),),
        jobs=(Job(key="a", due=8), Job(key="b", due=8)),
        steps=steps,
    )


def test_one_more_place_saves_the_day_that_the_second_boat_waits() -> None:
    problem = shop(1)
    (found,) = what_helps(problem, list_plan, [one_more_place(problem, "bench")])
    assert (found.saved, found.late_days, found.done_days) == (A_DAY, 1.0, 1.0)
    assert found.idea.text % found.idea.values == "One more place: wood bench"


def test_what_does_not_help_saves_nothing() -> None:
    problem = shop(2)
    (found,) = what_helps(problem, list_plan, [one_more_place(problem, "bench")])
    assert (found.saved, found.late_days, found.done_days) == (0, 0.0, 0.0)


def test_more_hours_of_one_person_let_the_second_boat_follow_at_once() -> None:
    problem = shop(1)
    longer = Idea(text="longer", problem=more_hours(problem, "x", ((8, 16),)))
    (found,) = what_helps(problem, list_plan, [longer])
    # done at 16 instead of a day later: eight slots late instead of 96
    assert found.saved == A_DAY - 8


def test_the_best_idea_comes_first() -> None:
    problem = shop(1)
    longer = Idea(text="longer", problem=more_hours(problem, "x", ((8, 16),)))
    found = what_helps(problem, list_plan, [longer, one_more_place(problem, "bench")])
    assert [one.idea.text for one in found] == ["One more place: %(resource)s", "longer"]


def test_hours_that_touch_or_overlap_are_one_span() -> None:
    assert merged([(5, 8), (0, 4), (4, 5), (20, 30), (22, 24)]) == ((0, 8), (20, 30))


def test_a_place_where_there_is_none_comes_first_though_it_makes_the_plan_dearer() -> None:
    problem = shop(1)
    none = replace(problem, resources=tuple(replace(one, capacity=0) for one in problem.resources))
    longer = Idea(text="longer", problem=more_hours(none, "x", ((8, 16),)))
    found = what_helps(none, lambda asked: list_plan(screen(asked).problem), [longer, one_more_place(none, "bench")])
    assert [(one.idea.text, one.placed) for one in found] == [("One more place: %(resource)s", 2), ("longer", 0)]
    assert found[0].saved < 0
    assert (found[0].late_days, found[0].done_days) == (0.0, 0.0)

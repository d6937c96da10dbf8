"""Why no day can be named for a hull: each way out of the plan, in the words of the step that is at fault."""

from dataclasses import replace

import pytest

from stages.planner.listplan import list_plan
from stages.planner.problem import Hold, Job, Link, Person, Problem, Resource, Step, Use
from stages.queries.planning.undated import undated

ANN = Person(key="ann", name="Ann", skills=frozenset({"wood"}), works=((0, 8), (20, 28)))


def step(key: str, job: str = "H-1") -> Step:
    """Two hours of woodwork at the bench."""
    return Step(key=key, job=job, title=key.title(), sittings=(8,), skill="wood", uses=(Use(resource="bench"),))


def said(*steps: Step, links: tuple[Link, ...] = (), horizon: int = 40) -> dict[str, str]:
    """By hull, why it has no day."""
    problem = Problem(
        horizon=horizon,
        people=(ANN,),
        resources=(Resource(key="bench", title="Wood bench", capacity=1), Resource(key="rig", title="Rig", capacity=0)),
        jobs=(Job(key="H-1"), Job(key="H-2")),
        steps=steps,
        links=links,
    )
    found = undated(problem, list_plan(problem))
    return {tag: " ".join(one.text % one.values for one in why) for tag, why in found.items()}


@pytest.mark.parametrize(
    ("broken", "why"),
    [
        (replace(step("ribs"), skill="finish"), "“Ribs”: Nobody here can do “finish”."),
        (replace(step("ribs"), uses=(Use(resource="rig"),)), "“Ribs”: “Rig” has 0 places; this needs 1."),
        (replace(step("ribs"), holds=(Hold(until=99, why="stores"),)), "“Ribs”: Waits beyond the end of the plan."),
        (replace(step("ribs"), sittings=(9,)), "“Ribs”: A sitting of 2.25 hours fits into nobody's day."),
    ],
)
def test_the_step_at_fault_is_named_and_not_one_that_waits_for_it(broken: Step, why: str) -> None:
    links = (Link(before="ribs", after="fair"), Link(before="fair", after="oil"))
    assert said(step("oil"), step("fair"), broken, step("other", "H-2"), links=links) == {"H-1": why}


def test_of_steps_that_wait_for_one_another_one_is_named() -> None:
    links = (Link(before="ribs", after="fair"), Link(before="fair", after="ribs"), Link(before="fair", after="oil"))
    why = said(step("oil"), step("ribs"), step("fair"), links=links)
    assert why == {"H-1": "“Ribs”: Waits for itself, by way of Fair (H-1), Ribs (H-1)."}


def test_what_comes_beyond_the_end_of_the_plan_says_so() -> None:
    why = said(step("ribs"), step("fair"), step("oil"), links=(Link(before="ribs", after="fair"),))
    assert list(why) == ["H-1"]
    assert why["H-1"].endswith("before the plan ends.")


def test_a_hull_of_which_every_step_has_its_place_has_its_days() -> None:
    assert said(step("ribs"), step("fair", "H-2")) == {}

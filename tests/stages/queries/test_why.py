"""Why a hull moved, out of two plans laid beside each other."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo

from stages.planner.compare import finishes
from stages.planner.listplan import list_plan
from stages.planner.problem import Hold, Job, Link, Person, Problem, Resource, Step, Use
from stages.planner.schedule import Schedule
from stages.queries.planning.grid import day_of
from stages.queries.planning.told import Told
from stages.queries.planning.why import reasons, with_reasons

START = datetime(2026, 5, 4, 8, tzinfo=UTC)
A_DAY = 96


def a_problem(**more: object) -> Problem:
    """Two boats, one bench, one pair of hands that is always there."""
    ines = Person(key="p1", name="Ines", skills=frozenset({"hands"}), works=((0, 40 * A_DAY),))
    steps = (
        Step(key="H-1/fill", job="H-1", title="Fill", sittings=(8,), skill="hands", dry=A_DAY),
        Step(
            key="H-1/prime", job="H-1", title="Prime", sittings=(8,), skill="hands", uses=(Use(resource="finishing"),)
        ),
    )
    return Problem(
        horizon=40 * A_DAY,
        people=(ines,),
        resources=(Resource(key="finishing", title="finishing room", capacity=1),),
        jobs=(Job(key="H-1", title="Tern", due=3 * A_DAY), Job(key="H-2", title="Heron")),
        steps=steps,
        links=(Link(before="H-1/fill", after="H-1/prime"),),
        start=START,
    )


def told_by_plan(problem: Problem, plan: Schedule, zone_info: tzinfo) -> dict[str, Told]:
    """What is told of each boat where all comes as planned."""
    days = {tag: day_of(START, end, zone_info) for tag, end in finishes(problem, plan).items() if end is not None}
    days = {tag: day + (problem.start - START) for tag, day in days.items()} if problem.start else days
    return {tag: Told(early=day, likely=day, late=day, suggested=day) for tag, day in days.items()}


def said(why: tuple[object, ...]) -> str:
    return " ".join(one.text % one.values for one in why)  # type: ignore[attr-defined]


def test_a_filler_that_dries_for_longer_is_named_to_the_shop_and_in_general_to_the_owner() -> None:
    before = a_problem()
    fill, prime = before.steps
    now = replace(before, steps=(replace(fill, dry=3 * A_DAY), prime))
    old, new = (before, list_plan(before)), (now, list_plan(now))
    why = reasons(new, old, "H-1", UTC, later=True)
    assert said(why.shop) == "“Prime”: “Fill” is dry at Thu 2026-05-07."
    assert said(why.owner) == "“Prime” waits for the step before it until Thu 2026-05-07."


def test_another_boat_in_its_place_is_told_to_the_shop_alone() -> None:
    before = a_problem()
    heron = Step(
        key="H-2/prime", job="H-2", title="Prime", uses=(Use(resource="finishing"),), sittings=(8,) * 30, since=-4,
        skill="hands",
    )  # fmt: skip
    now = replace(before, steps=(*before.steps, heron))
    old, new = (before, list_plan(before)), (now, list_plan(now))
    told = with_reasons(told_by_plan(*new, UTC), new, old, UTC)["H-1"]
    assert "Heron" in said(told.shop_why)
    assert "Heron" not in said(told.why)
    assert told.why


def test_stores_that_come_late_are_named_and_so_is_what_goes_ahead_sooner() -> None:
    before = a_problem()
    fill, prime = before.steps
    waits = Hold(until=5 * A_DAY, why="stores", words="High-build primer")
    now = replace(before, steps=(fill, replace(prime, holds=(waits,))))
    old, new = (before, list_plan(before)), (now, list_plan(now))
    why = reasons(new, old, "H-1", UTC, later=True)
    assert said(why.owner) == "“Prime” waits for material that comes on Sat 2026-05-09."
    assert said(reasons(old, new, "H-1", UTC, later=False).owner) == "“Prime” can go ahead sooner."


def test_plans_made_at_different_moments_are_laid_on_one_another_by_the_clock() -> None:
    before = a_problem()
    later = replace(before, start=START + timedelta(days=1))
    old, new = (before, list_plan(before)), (later, list_plan(later))
    why = with_reasons(told_by_plan(*new, UTC), new, old, UTC)["H-1"]
    assert why.likely == told_by_plan(*old, UTC)["H-1"].likely + timedelta(days=1)


def test_a_hull_that_stays_on_its_day_needs_no_reason() -> None:
    before = a_problem()
    plan = (before, list_plan(before))
    assert with_reasons(told_by_plan(*plan, UTC), plan, plan, UTC)["H-1"].why == ()

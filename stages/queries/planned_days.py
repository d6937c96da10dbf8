"""The days of the plan that holds: when each stage begins, and until when free places stay free."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime, tzinfo

from stages.planner.lanes import lanes
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.verify import held
from stages.queries.planning.grid import SLOT
from stages.queries.plans import held_plan

Stage = tuple[str, str]  # a hull's tag and a stage's key


def planned_starts(zone_info: tzinfo) -> dict[Stage, date]:
    """By hull and stage, the day on which the plan has hands begin with it; in one query, empty before any plan."""
    plan = held_plan()
    if plan is None or plan[0].start is None:
        return {}
    problem, schedule = plan
    found: dict[Stage, int] = {}
    for step in problem.steps:
        placed = schedule.by_step.get(step.key)
        if placed and placed.sittings and step.skill is not None:
            stage = (step.job, step.kind)
            found[stage] = min(found.get(stage, placed.start), placed.sittings[0].start)
    return {stage: _day(problem, slot, zone_info) for stage, slot in found.items()}


def free_until(now: datetime, zone_info: tzinfo) -> Mapping[str, tuple[date, ...]]:
    """By kind of station, until which days its places stay free that are free now, the soonest first; in one query.

    A place that nobody is planned for is left out.
    """
    plan = held_plan()
    if plan is None or plan[0].start is None:
        return {}
    at = int((now - plan[0].start) / SLOT)
    found: dict[str, tuple[date, ...]] = {}
    for resource, stays in _stays(plan).items():
        taken = {place for place, start, end in stays if start <= at < end}
        ahead = sorted((start, place) for place, start, _end in stays if start > at and place not in taken)
        soonest = {place: start for start, place in reversed(ahead)}
        found[resource] = tuple(_day(plan[0], start, zone_info) for start in sorted(soonest.values()))
    return found


Stay = tuple[int, int, int]  # place, first slot, slot after the last
_read: dict[str, tuple[tuple[Problem, Schedule], dict[str, tuple[Stay, ...]]]] = {}


def _stays(plan: tuple[Problem, Schedule]) -> dict[str, tuple[Stay, ...]]:
    """Who stands where and when, by resource; reckoned once for as long as a plan holds."""
    kept = _read.get("newest")
    if kept is None or kept[0] is not plan:
        kept = _read["newest"] = (plan, {one.key: tuple(_on(*plan, one.key)) for one in plan[0].resources})
    return kept[1]


def _on(problem: Problem, schedule: Schedule, resource: str) -> Iterator[Stay]:
    uses = {step.key: use.held for step in problem.steps for use in step.uses if use.resource == resource}
    for key, places in lanes(problem, schedule, resource).items():
        for place in places:
            yield (place, *held(schedule.by_step[key], uses[key]))


def _day(problem: Problem, slot: int, zone_info: tzinfo) -> date:
    assert problem.start is not None
    return (problem.start + slot * SLOT).astimezone(zone_info).date()

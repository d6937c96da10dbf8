"""The days of the plan that holds: when each stage begins, and until when free places stay free."""

from collections.abc import Iterator, Mapping
from datetime import date, datetime, tzinfo
from functools import lru_cache

from stages.planner.lanes import lanes
from stages.planner.verify import held
from stages.queries.plans import HeldPlan, held_plan

Stage = tuple[str, str]  # a hull's tag and a stage's key
Stay = tuple[int, int, int]  # place, first slot, slot after the last


def planned_starts(zone_info: tzinfo) -> dict[Stage, date]:
    """By hull and stage, the day on which the plan has hands begin with it; in one query, empty before any plan."""
    plan = held_plan()
    if plan is None:
        return {}
    found: dict[Stage, int] = {}
    for placed in plan.schedule.placed:
        step = plan.step(placed.step)
        if placed.sittings and step.skill is not None:
            stage = (step.job, step.kind)
            found[stage] = min(found.get(stage, placed.start), placed.sittings[0].start)
    return {stage: plan.begins_on(slot, zone_info) for stage, slot in found.items()}


def next_days(tag: str, zone_info: tzinfo) -> dict[str, date]:
    """By stage of a hull, the day on which the plan next begins with something of it; in one query."""
    plan = held_plan()
    if plan is None:
        return {}
    found: dict[str, int] = {}
    for placed in plan.schedule.placed:
        step = plan.step(placed.step)
        if step.job == tag and step.kind and placed.start >= 0:
            found[step.kind] = min(found.get(step.kind, placed.start), placed.start)
    return {kind: plan.begins_on(slot, zone_info) for kind, slot in found.items()}


def free_until(now: datetime, zone_info: tzinfo) -> Mapping[str, tuple[date, ...]]:
    """By kind of station, until which days its places stay free that are free now, the soonest first; in one query.

    A place that nobody is planned for is left out.
    """
    plan = held_plan()
    if plan is None:
        return {}
    at = plan.slot(now)
    found: dict[str, tuple[date, ...]] = {}
    for resource, stays in _stays(plan).items():
        taken = {place for place, start, end in stays if start <= at < end}
        ahead = sorted((start, place) for place, start, _end in stays if start > at and place not in taken)
        soonest = {place: start for start, place in reversed(ahead)}
        found[resource] = tuple(plan.begins_on(start, zone_info) for start in sorted(soonest.values()))
    return found


@lru_cache(maxsize=2)
def _stays(plan: HeldPlan) -> dict[str, tuple[Stay, ...]]:
    """Who stands where and when, by resource; reckoned once for as long as a plan holds."""
    return {one.key: tuple(_on(plan, one.key)) for one in plan.problem.resources}


def _on(plan: HeldPlan, resource: str) -> Iterator[Stay]:
    uses = {step.key: use.held for step in plan.problem.steps for use in step.uses if use.resource == resource}
    for key, places in lanes(plan.problem, plan.schedule, resource).items():
        for place in places:
            yield (place, *held(plan.schedule.by_step[key], uses[key]))

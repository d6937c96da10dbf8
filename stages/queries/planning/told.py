"""What a plan tells of each hull: the days by which it is done, the chance of its promise, and why they moved."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo

from stages.planner.compare import finishes
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.queries.planning.grid import SLOT


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """A sentence with named gaps, and what fills them."""

    text: str
    values: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """When a hull is done: by these days with a chance of 10, 50, 90 and 80 %, and the chance of its promise, %."""

    early: date
    likely: date
    late: date
    suggested: date
    chance_pct: float | None = None
    why: tuple[Why, ...] = ()  # for the boat's owner: nobody else's boat is named
    shop_why: tuple[Why, ...] = ()  # for the shop


def told_by_plan(problem: Problem, schedule: Schedule, zone_info: tzinfo) -> dict[str, Told]:
    """By hull, the day on which the plan itself has it done; hulls of which a step has no place are not there."""
    found: dict[str, Told] = {}
    due = {job.key: job.due for job in problem.jobs}
    for tag, slot in finishes(problem, schedule).items():
        if slot is None or problem.start is None:
            continue
        day = day_of(problem.start, slot, zone_info)
        promise = due[tag]
        chance_pct = None if promise is None else 100.0 * (slot <= promise)
        found[tag] = Told(early=day, likely=day, late=day, suggested=day, chance_pct=chance_pct)
    return found


def day_of(start: datetime, slot: float, zone_info: tzinfo) -> date:
    """The shop's day on which something is over that is ready at a slot; what ends at midnight is that day's."""
    return (start + slot * SLOT - timedelta(seconds=1)).astimezone(zone_info).date()

"""What a plan tells of each hull: the days by which it is done, the chance of its promise, and why they moved."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, tzinfo

from stages.planner.forecast import Forecast
from stages.planner.problem import Problem
from stages.queries.planning.grid import day_of


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


def told_by_forecast(problem: Problem, found: Forecast, zone_info: tzinfo) -> dict[str, Told]:
    """By hull, the days of a forecast; hulls of which a step has no place are not there."""
    start = problem.start
    if start is None:
        return {}
    return {
        tag: Told(
            early=day_of(start, finish.early, zone_info),
            likely=day_of(start, finish.likely, zone_info),
            late=day_of(start, finish.late, zone_info),
            suggested=day_of(start, finish.suggested, zone_info),
            chance_pct=None if finish.chance is None else 100.0 * finish.chance,
        )
        for tag, finish in found.finishes.items()
    }

"""The plan that holds, with its moments: read once from its row however many pages show it."""

from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from functools import cached_property, lru_cache
from typing import Any

from stages.models import Plan
from stages.planner.problem import Problem, Step
from stages.planner.schedule import Schedule
from stages.queries.planning.grid import SLOT, day_of


@dataclass(frozen=True, kw_only=True, eq=False)
class HeldPlan:
    """A plan as it was made: when, from which problem (and its digest), the schedule, and what moved."""

    made_at: datetime
    digest: str
    problem: Problem
    schedule: Schedule
    moved: list[dict[str, Any]]

    @property
    def start(self) -> datetime:
        """The instant of its slot zero, aware."""
        return self.problem.start or self.made_at

    def at(self, slot: int) -> datetime:
        """The instant of a slot, aware."""
        return self.start + slot * SLOT

    def slot(self, at: datetime) -> int:
        """The slot that holds an instant."""
        return (at - self.start) // SLOT

    def begins_on(self, slot: int, zone_info: tzinfo) -> date:
        """The day on which something begins at a slot."""
        return self.at(slot).astimezone(zone_info).date()

    def ends_on(self, slot: int, zone_info: tzinfo) -> date:
        """The day on which something is over that is ready at a slot."""
        return day_of(self.start, slot, zone_info)

    def step(self, key: str) -> Step:
        """A step by its key."""
        return self._steps[key]

    @cached_property
    def _steps(self) -> dict[str, Step]:
        return {step.key: step for step in self.problem.steps}


def held_plan() -> HeldPlan | None:
    """The plan that holds, in one query where it was read before, else two; None before the first."""
    newest = Plan.objects.values_list("pk", "made_at", "digest").first()
    return _read(*newest) if newest else None


@lru_cache(maxsize=2)
def _read(pk: int, made_at: datetime, digest: str) -> HeldPlan:
    row = Plan.objects.get(pk=pk)
    problem, schedule = row.read()
    return HeldPlan(made_at=made_at, digest=digest, problem=problem, schedule=schedule, moved=row.moved)

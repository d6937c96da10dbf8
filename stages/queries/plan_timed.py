"""The plan that holds with its moments, read once from its row however many pages show it."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property, lru_cache
from typing import Any

from django.utils import timezone

from stages.models import Plan
from stages.planner.problem import Problem, Step
from stages.planner.schedule import Schedule
from stages.planner.timegrid import SLOT_MIN


@dataclass(frozen=True, kw_only=True)
class TimedPlan:
    """A plan as it was made: its moment, its problem and its schedule, and what moved."""

    made_at: datetime
    how: str
    problem: Problem
    schedule: Schedule
    moved: list[dict[str, Any]]

    @property
    def start(self) -> datetime:
        """The instant of its slot zero, aware."""
        return self.problem.start or self.made_at

    def at(self, slot: int) -> datetime:
        """The instant of a slot, aware."""
        return self.start + timedelta(minutes=SLOT_MIN * slot)

    def day(self, slot: int, now: datetime) -> date:
        """The day, by the clock of ``now``, on which something is over that is ready at a slot."""
        return (self.at(slot) - timedelta(seconds=1)).astimezone(now.tzinfo).date()

    def step(self, key: str) -> Step:
        """A step by its key."""
        return self._steps[key]

    @cached_property
    def _steps(self) -> dict[str, Step]:
        return {step.key: step for step in self.problem.steps}

    def slot(self, at: datetime) -> int:
        """The slot that holds an instant."""
        return (at - self.start) // timedelta(minutes=SLOT_MIN)


def timed_plan() -> TimedPlan | None:
    """The plan that holds, in one query where it was read before, else two; None before the first."""
    newest = Plan.objects.values_list("pk", "made_at").first()
    return _read(*newest) if newest else None


def planned_days(tag: str) -> dict[str, date]:
    """By stage of a hull, the day on which the plan that holds goes on with it, in the queries of the plan."""
    plan = timed_plan()
    if plan is None:
        return {}
    found: dict[str, int] = {}
    for placed in plan.schedule.placed:
        step = plan.step(placed.step)
        if step.job == tag and step.kind and placed.start >= 0:
            found[step.kind] = min(found.get(step.kind, placed.start), placed.start)
    return {kind: timezone.localtime(plan.at(slot)).date() for kind, slot in found.items()}


@lru_cache(maxsize=2)
def _read(pk: int, _made_at: datetime) -> TimedPlan:
    row = Plan.objects.get(pk=pk)
    problem, schedule = row.read()
    return TimedPlan(made_at=row.made_at, how=row.how, problem=problem, schedule=schedule, moved=row.moved)

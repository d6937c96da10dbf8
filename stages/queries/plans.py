"""The plan that holds."""

from datetime import datetime
from functools import lru_cache

from stages.models import Plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule


def newest_plan() -> Plan | None:
    """The plan that holds, in one query; None before the first."""
    return Plan.objects.first()


def held_plan() -> tuple[Problem, Schedule] | None:
    """The plan that holds with its problem, read once for as long as it holds; one query."""
    newest = Plan.objects.values_list("pk", "made_at", "digest").first()
    return _read(*newest) if newest else None


@lru_cache(maxsize=2)
def _read(pk: int, made_at: datetime, digest: str) -> tuple[Problem, Schedule]:
    return Plan.objects.get(pk=pk).read()

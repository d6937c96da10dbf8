"""The plan that holds."""

from functools import lru_cache

from stages.models import Plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule


def newest_plan() -> Plan | None:
    """The plan that holds, in one query; None before the first."""
    return Plan.objects.first()


def held_plan() -> tuple[Problem, Schedule] | None:
    """The plan that holds with its problem, read once for as long as it holds; one query."""
    pk = Plan.objects.values_list("pk", flat=True).first()
    return _read(pk) if pk else None


@lru_cache(maxsize=2)
def _read(pk: int) -> tuple[Problem, Schedule]:
    return Plan.objects.get(pk=pk).read()

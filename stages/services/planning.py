"""Plans are made, kept and thrown away."""

from dataclasses import replace
from datetime import datetime

from stages.models import How, Plan
from stages.planner.cost import cost_of
from stages.planner.fileformat import write_plan
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.screen import screen
from stages.queries.problem import digest_of


def at_once(problem: Problem) -> Schedule:
    """A plan by the best rule, of what can be placed; the rest is left out with its reason."""
    screened = screen(problem)
    plan = list_plan(screened.problem)
    return replace(plan, left=(*screened.left, *plan.left), cost=cost_of(problem, plan.placed))


def keep(*, problem: Problem, schedule: Schedule, how: How, now: datetime) -> Plan:
    """Write a plan down; it holds from now on."""
    return Plan.objects.create(
        made_at=now,
        how=how,
        digest=digest_of(problem),
        cost=schedule.cost.total,
        body=write_plan(problem, schedule),
    )

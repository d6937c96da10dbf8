"""Planning the shop anew: at once by rule, then bettered for the seconds that the shop gives it."""

from dataclasses import replace
from datetime import datetime
from uuid import uuid4

from django.db import transaction

from shop.jobs.lease import kept
from shop.jobs.run import end, take_up
from shop.models import Job
from stages.models import How
from stages.planner.apart import improve
from stages.planner.cost import cost_of
from stages.planner.effort import Effort
from stages.planner.forecast import forecast
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.screen import screen
from stages.planner.verify import verify
from stages.queries.planning.noise import noise_of
from stages.queries.planning.told import told_by_forecast
from stages.queries.planning.undated import undated
from stages.queries.planning.why import with_reasons
from stages.queries.plans import HeldPlan, held_plan
from stages.queries.problem import digest_of, the_problem
from stages.queries.world import Around, around
from stages.services.planning import JOB, Made, ask_for_plan, keep


def plan_again(*, now: datetime, seconds: float | None = None) -> Made | None:
    """Make the shop's plan anew; the caller keeps it.

    The very first plan of a shop is kept as soon as a rule has made it, without dates, so that there is one to look at.

    Parameters
    ----------
    now : datetime
        The moment, aware.
    seconds : float, optional
        How long to better it; as long as the shop says unless given.

    Returns
    -------
    Made or None
        None where the shop stands as it did when the plan that holds was made, and where another plan is being made:
        then this one is asked for again.
    """
    if _another_is_made(now):
        ask_for_plan()
        return None
    shop, held = around(), held_plan()
    problem = the_problem(shop, now, _both(held))
    if held and held.digest == digest_of(problem):
        return None
    return _plan(shop, problem, now, seconds, begin=held is None)


def plan_now(*, now: datetime, seconds: float | None = None) -> Made | None:
    """Make the shop's plan anew whether it changed or not, as a command does, and keep it.

    Parameters
    ----------
    now : datetime
        The moment, aware.
    seconds : float, optional
        How long to better it; as long as the shop says unless given.

    Returns
    -------
    Made or None
        None where another plan is being made: nothing was done.
    """
    job = take_up(name=JOB, key=f"{JOB}:{uuid4().hex}", payload={})
    try:
        with kept(job):
            if _another_is_made(now):
                return None
            made = plan_of(around(), now=now, seconds=seconds)
        with transaction.atomic():
            end(job)
            keep(made)
    finally:
        Job.objects.filter(pk=job.pk, token=job.token).delete()  # what came to no end leaves no job behind
    return made


def plan_of(shop: Around, *, now: datetime, seconds: float | None = None) -> Made:
    """Make the shop's plan anew whether it changed or not; as `plan_again` otherwise."""
    return _plan(shop, the_problem(shop, now, _both(held_plan())), now, seconds, begin=False)


def _plan(shop: Around, problem: Problem, now: datetime, seconds: float | None, *, begin: bool) -> Made:
    first = list_plan(problem)
    if begin:
        keep(Made(problem=problem, schedule=first, how=How.LIST, now=now, told={}))
    better = bettered(problem, first, shop.setup.shop.plan_seconds if seconds is None else seconds)
    return _made(shop, problem, better, How.IMPROVED if better is not first else How.LIST, now)


def bettered(problem: Problem, schedule: Schedule, seconds: float) -> Schedule:
    """The best plan that is found within so many seconds; the one given where none is better.

    What comes back is checked against every constraint before it may take the place of the other.
    """
    if seconds <= 0:
        return schedule
    screened = screen(problem)
    start = replace(schedule, left=tuple(left for left in schedule.left if left not in screened.left))
    found = improve(screened.problem, Effort(seconds=seconds), start=start).schedule
    better = replace(found, left=(*screened.left, *found.left), cost=cost_of(problem, found.placed))
    if _worth(better) >= _worth(schedule) or verify(problem, better):
        return schedule
    return better


def _worth(schedule: Schedule) -> tuple[int, int]:
    """Of two plans the one with less left out, then the one that costs less."""
    return len(schedule.left), schedule.cost.total


def _made(shop: Around, problem: Problem, schedule: Schedule, how: How, now: datetime) -> Made:
    found = forecast(problem, schedule, noise_of(shop, problem))
    told = told_by_forecast(problem, found, shop.world.zone_info)
    if held := _both(held_plan()):
        told = with_reasons(told, (problem, schedule), held, shop.world.zone_info)
    return Made(problem=problem, schedule=schedule, how=how, now=now, told=told, undated=undated(problem, schedule))


def _both(held: HeldPlan | None) -> tuple[Problem, Schedule] | None:
    return (held.problem, held.schedule) if held else None


def _another_is_made(now: datetime) -> bool:
    """Whether another worker is at a plan; this one's own job is counted along."""
    return Job.objects.filter(name=JOB, state=Job.State.CLAIMED, lease_until__gt=now).count() > 1

"""Why a hull is done later or sooner than the plan before had it: the first step on its way that moved."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, tzinfo

from django.utils import timezone
from django.utils.formats import date_format

from hulls.wording import gettext_noop
from stages.planner.compare import finishes
from stages.planner.explain import Cause, Wait, chain
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.queries.planning.grid import SLOT, day_of
from stages.queries.planning.told import Told, Why

Plan = tuple[Problem, Schedule]

# For the boat's owner: what other boats and who in the shop are concerned is not told.
TO_OWNERS: Mapping[Cause, str] = {
    Cause.BEFORE: gettext_noop("“%(step)s” waits for the step before it until %(until)s."),
    Cause.HOLD: gettext_noop("“%(step)s” waits until %(until)s."),
    Cause.PLACE: gettext_noop("“%(step)s” waits for a free place until %(until)s."),
    Cause.HANDS: gettext_noop("“%(step)s” waits for free hands until %(until)s."),
    Cause.WEATHER: gettext_noop("“%(step)s” waits for dry weather until %(until)s."),
    Cause.HOURS: gettext_noop("“%(step)s” waits until somebody is in the shop, %(until)s."),
}
HOLDS_TO_OWNERS: Mapping[str, str] = {
    "approval": gettext_noop("“%(step)s” waits for your answer."),
    "stores": gettext_noop("“%(step)s” waits for material that comes on %(until)s."),
    "drying": gettext_noop("“%(step)s” waits for a coat that is soft until %(until)s."),
}
SOONER = gettext_noop("“%(step)s” can go ahead sooner.")
STEP = gettext_noop("“%(step)s”:")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """Why a hull moved, for its owner and, with names, for the shop."""

    owner: tuple[Why, ...] = ()
    shop: tuple[Why, ...] = ()


def with_reasons(told: Mapping[str, Told], now: Plan, before: Plan, zone_info: tzinfo) -> dict[str, Told]:
    """Add to what is told of each hull why it is done on another day than the plan before had it."""
    found = dict(told)
    was, will = _days(before, zone_info), _days(now, zone_info)
    for tag, one in told.items():
        if tag in was and tag in will and was[tag] != will[tag]:
            why = reasons(now, before, tag, zone_info, later=will[tag] > was[tag])
            found[tag] = replace(one, why=why.owner, shop_why=why.shop)
    return found


def _days(plan: Plan, zone_info: tzinfo) -> dict[str, date]:
    """By hull, the day on which a plan has it done."""
    problem, schedule = plan
    start, ends = problem.start, finishes(problem, schedule)
    return {tag: day_of(start, end, zone_info) for tag, end in ends.items() if start and end is not None}


def reasons(now: Plan, before: Plan, tag: str, zone_info: tzinfo, *, later: bool) -> Reasons:
    """Say why a hull moved.

    Parameters
    ----------
    now, before : problem and schedule
        The plan that is new, and the one that held.
    tag : str
        The hull.
    zone_info : tzinfo
        The shop's time zone.
    later : bool
        Whether it is done later than before, or sooner.
    """
    problem, schedule = now
    shift = _shift(problem, before[0])
    titles = {step.key: step.title for step in problem.steps}
    for wait in chain(problem, schedule, tag):
        old, new = before[1].by_step.get(wait.step), schedule.by_step[wait.step]
        moved = new.start - (old.start + shift) if old else 0
        if later and moved > 0:
            return _told(problem, wait, titles[wait.step], zone_info)
        if not later and moved < 0:
            why = (Why(text=SOONER, values={"step": titles[wait.step]}),)
            return Reasons(owner=why, shop=why)
    return Reasons()


def _shift(problem: Problem, before: Problem) -> int:
    """What slots of the plan before are in slots of the new one."""
    if problem.start is None or before.start is None:
        return 0
    return round((before.start - problem.start) / SLOT)


def _told(problem: Problem, wait: Wait, step: str, zone_info: tzinfo) -> Reasons:
    values = {"step": step, "until": _day(problem, wait.until, zone_info)}
    text = TO_OWNERS.get(wait.cause)
    if wait.cause is Cause.HOLD:
        text = HOLDS_TO_OWNERS.get(_hold(problem, wait), text)
    owner = (Why(text=text, values=values),) if text else ()
    shop = (
        Why(text=STEP, values={"step": step}),
        Why(text=wait.text, values={**wait.values, "until": values["until"]}),
    )
    return Reasons(owner=owner, shop=shop)


def _hold(problem: Problem, wait: Wait) -> str:
    step = next(step for step in problem.steps if step.key == wait.step)
    return next((hold.why for hold in step.holds if hold.until == wait.until), "")


def _day(problem: Problem, slot: int, zone_info: tzinfo) -> str:
    if problem.start is None:
        return str(slot)
    return date_format(timezone.localtime(problem.start + slot * SLOT, zone_info), "D Y-m-d")

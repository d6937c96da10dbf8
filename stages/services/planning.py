"""Plans are asked for, made and kept; what they say of each hull's finish is kept with what moved it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from django.db import transaction

from hulls.models import Hull
from shop.jobs.enqueue import enqueue
from shop.models import Job, Pulse, Shop
from shop.models.pulse import new_stamp
from stages.models import How, HullDates, Plan
from stages.planner.fileformat import write_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.queries.dates import newest_dates
from stages.queries.planning.told import Told, Why
from stages.queries.problem import digest_of

DEBOUNCE = timedelta(seconds=20)  # taps come in flocks
PLANS_STAY = timedelta(days=14)
JOBS_STAY = timedelta(days=1)
JOB, ALERT = "plan", "promise_alert"
A_POINT = 1.0  # of a chance in %: less is the dice's


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A plan that was made and not yet kept, with what it tells of each hull by tag, or why it can tell nothing."""

    problem: Problem
    schedule: Schedule
    how: How
    now: datetime
    told: Mapping[str, Told]
    undated: Mapping[str, tuple[Why, ...]] = field(default_factory=dict)

    def why(self, tag: str) -> list[dict[str, Any]]:
        """Why a hull's dates moved, or why it has none, with names for the shop."""
        told = self.told.get(tag)
        return _plain(told.shop_why if told else self.undated.get(tag, ()))


def ask_for_plan(*, wait: timedelta = DEBOUNCE) -> None:
    """Have a plan made in the background, inside the transaction of what changed; one waits at most."""
    if not Job.objects.filter(name=JOB, state=Job.State.WAITING).exists():
        enqueue(name=JOB, key=f"{JOB}:{uuid4().hex}", payload={}, wait=wait)


def keep(made: Made) -> Plan:
    """Write a plan down, which holds from now on, and the dates of the hulls for which they changed.

    Plans of weeks ago are thrown away; the dates stay, since forecasts are held against what happened.
    """
    with transaction.atomic():
        hulls = list(Hull.objects.filter(tag__in=[*made.told, *made.undated]))
        before = newest_dates(hull.pk for hull in hulls)
        rows = [_row(made, hull) for hull in hulls]
        changed = [row for row in rows if _changed(before.get(row.hull_id), row)]
        HullDates.objects.bulk_create(changed)
        _alert([row for row in changed if _falls(before.get(row.hull_id), row)])
        plan = Plan.objects.create(
            made_at=made.now,
            how=made.how,
            digest=digest_of(made.problem),
            cost=made.schedule.cost.total,
            body=write_plan(made.problem, made.schedule),
            moved=[_moved(made, row, before[row.hull_id]) for row in changed if _moves(before.get(row.hull_id), row)],
        )
        Pulse.objects.filter(pk=1).update(beat=new_stamp())  # screens draw anew; it asks for no plan
        Plan.objects.filter(made_at__lt=made.now - PLANS_STAY).exclude(pk=plan.pk).delete()
        Job.objects.filter(name=JOB, state=Job.State.DONE, done_at__lt=made.now - JOBS_STAY).delete()
    return plan


def _row(made: Made, hull: Hull) -> HullDates:
    row = HullDates(hull=hull, made_at=made.now, promised_on=hull.promised_on)
    told = made.told.get(hull.tag)
    if told is None:
        row.no_date = made.why(hull.tag)
        return row
    row.early_on, row.likely_on, row.late_on = told.early, told.likely, told.late
    row.suggested_on, row.chance_pct, row.why = told.suggested, told.chance_pct, _plain(told.why)
    return row


def _plain(why: Sequence[Why]) -> list[dict[str, Any]]:
    return [{"text": one.text, "values": dict(one.values)} for one in why]


def _changed(before: HullDates | None, row: HullDates) -> bool:
    if before is None:
        return True
    names = ("early_on", "likely_on", "late_on", "suggested_on", "promised_on", "no_date")
    if any(getattr(before, name) != getattr(row, name) for name in names):
        return True
    return abs((before.chance_pct or 0.0) - (row.chance_pct or 0.0)) >= A_POINT


def _moves(before: HullDates | None, row: HullDates) -> bool:
    return before is not None and before.likely_on != row.likely_on


def _moved(made: Made, row: HullDates, before: HullDates) -> dict[str, Any]:
    """What moved, with its days as ISO 8601; empty where there is none."""
    days = {"was": before.likely_on, "now": row.likely_on}
    iso = {name: on.isoformat() if on else "" for name, on in days.items()}
    return {"tag": row.hull.tag, **iso, "why": made.why(row.hull.tag)}


def _falls(before: HullDates | None, row: HullDates) -> bool:
    """Whether a promise came into danger with this; one that was in danger before was told of."""
    limit = Shop.the_one().promise_limit_pct
    told = before is not None and before.promised_on == row.promised_on and before.in_danger(limit)
    return row.in_danger(limit) and not told


def _alert(rows: Sequence[HullDates]) -> None:
    """Write to the shop of promises that are in danger, where it wants that."""
    if rows and Shop.the_one().alert_by_letter:
        dates = [row.pk for row in rows]
        enqueue(name=ALERT, key=f"{ALERT}:{min(dates)}-{max(dates)}", payload={"dates": dates})

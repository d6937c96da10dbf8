"""Room at a glance: which share of each station and of everybody's hours is taken, week by week."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from django.utils.formats import date_format

from stages.planner.capacity import first_free, share_sat, share_taken
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries.plans import HeldPlan
from stages.saying import day

WEEKS = 12
FULL = 0.95  # a station that is taken so much has no room in practice; common practice, no published source


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """A week's share, in whole per cent; None where nobody is there."""

    pct: int | None

    @property
    def full(self) -> bool:
        """Whether there is no room."""
        return self.pct is not None and self.pct >= 100 * FULL

    @property
    def bar(self) -> int:
        """How much of a cell's rail is filled, per cent."""
        return min(100, self.pct or 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A station or a person: the weeks from this one on, and the first day on which a place is free, in words."""

    title: str
    weeks: tuple[Week, ...]
    free: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rooms:
    """All of them, with the weeks' first days in words."""

    heads: tuple[str, ...]
    stations: tuple[Room, ...]
    people: tuple[Room, ...]


def rooms(made: HeldPlan, now: datetime) -> Rooms:
    """The room of the next `WEEKS` weeks, the running one from now on.

    Parameters
    ----------
    made : HeldPlan
        The plan.
    now : datetime
        The moment by the shop's clock, aware.
    """
    today = now.date()
    monday = today - timedelta(days=today.weekday())
    mondays = [monday + timedelta(weeks=number) for number in range(WEEKS + 1)]
    slots = [max(made.slot(datetime.combine(on, time(), now.tzinfo)), 0) for on in mondays]
    weeks = list(pairwise(slots))
    problem, plan = made.problem, made.schedule
    return Rooms(
        heads=tuple(date_format(on, "j M") for on in mondays[:-1]),
        stations=tuple(
            Room(
                title=one.title,
                weeks=_weeks(share_taken(problem, plan, one.key, *week) for week in weeks),
                free=_free(made, one.key, today, now),
            )
            for one in problem.resources
        ),
        people=tuple(
            Room(title=one.name, weeks=_weeks(share_sat(problem, plan, one.key, *week) for week in weeks))
            for one in problem.people
        ),
    )


def _weeks(shares: Iterable[float | None]) -> tuple[Week, ...]:
    return tuple(Week(pct=None if share is None else round(100 * share)) for share in shares)


def _free(made: HeldPlan, resource: str, today: date, now: datetime) -> str:
    """The first day from which a place stays free for a day at least."""
    slot = first_free(made.problem, made.schedule, resource, SLOTS_A_DAY)
    return "" if slot is None else day(max(made.at(slot).astimezone(now.tzinfo).date(), today), today)

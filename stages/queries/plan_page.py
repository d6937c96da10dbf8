"""The plan's page: the drawing, what is late and why, what has no place, what moved, and the room."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.formats import date_format
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.models import Station
from stages.pictures.plan import PlanPicture
from stages.planner.compare import finishes
from stages.planner.schedule import Left
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries.plan_chart import Seen, Zoom, chart
from stages.queries.plan_room import Rooms, rooms
from stages.queries.plan_timed import TimedPlan
from stages.saying import day


@dataclass(frozen=True, slots=True, kw_only=True)
class LateBoat:
    """A boat that the plan finishes after its promise: when, by how much, and the waits that make it late."""

    tag: str
    promised: str
    done: str
    days: str
    chain: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplaced:
    """A step that has no place in the plan, and why."""

    tag: str
    step: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """Where the page's links lead, as query strings; ``boat`` ends before a boat's tag, ``all`` lights none."""

    before: str
    after: str
    today: str
    zooms: tuple[tuple[str, str, bool], ...]
    boat: str
    lit: str
    all: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """What the page shows."""

    picture: PlanPicture
    says: str
    ways: Ways
    late: Sequence[LateBoat]
    lit: tuple[str, ...]
    unplaced: Sequence[Unplaced]
    rooms: Rooms
    made: str


def plan_page(made: TimedPlan, seen: Seen, stations: Sequence[Station], now: datetime) -> PlanPage:
    """The page for what is looked at, in two queries beside the plan's own.

    Parameters
    ----------
    made, seen : TimedPlan, Seen
        The plan, and what of it.
    stations : sequence of Station
        The shop's stations in its order.
    now : datetime
        The moment by the shop's clock, aware.
    """
    late = late_boats(made, now)
    return PlanPage(
        picture=chart(made, seen, stations, now),
        says=_says(seen, late),
        ways=_ways(seen, now.date()),
        late=late,
        lit=chain_of(made, seen.boat, now) if seen.boat else (),
        unplaced=[_unplaced(made, left) for left in made.schedule.left],
        rooms=rooms(made, now),
        made=date_format(made.made_at.astimezone(now.tzinfo), "j F, H:i"),
    )


def late_boats(made: TimedPlan, now: datetime) -> list[LateBoat]:
    """The boats that are done after the day that was promised, the latest first."""
    ends = finishes(made.problem, made.schedule)
    found = [
        (end - job.due, job.key, job.due, end)
        for job in made.problem.jobs
        if job.due is not None and (end := ends.get(job.key)) is not None and end > job.due
    ]
    return [
        LateBoat(
            tag=tag,
            promised=day(made.at(due - 1).astimezone(now.tzinfo).date(), now.date()),
            done=day(made.at(end).astimezone(now.tzinfo).date(), now.date()),
            days=_days(slots),
            chain=chain_of(made, tag, now),
        )
        for slots, tag, due, end in sorted(found, reverse=True)
    ]


def chain_of(made: TimedPlan, tag: str, now: datetime) -> tuple[str, ...]:
    """The waits that a boat's finish hangs on, from now to its last step, in words."""
    return ()


def _days(slots: int) -> str:
    days = max(1, -(-slots // SLOTS_A_DAY))
    return ngettext("%(days)s day late", "%(days)s days late", days) % {"days": days}


def _unplaced(made: TimedPlan, left: Left) -> Unplaced:
    step = next(one for one in made.problem.steps if one.key == left.step)
    return Unplaced(tag=step.job, step=step.title, why=_(left.text) % left.values)


def _says(seen: Seen, late: Sequence[LateBoat]) -> str:
    shown = {"first": date_format(seen.first, "j F"), "last": date_format(seen.last - timedelta(days=1), "j F")}
    begins = _("From %(first)s to %(last)s.") % shown
    if not late:
        return begins + " " + _("No promise is broken.")
    return begins + " " + _("Late: %(boats)s.") % {"boats": ", ".join(boat.tag for boat in late)}


def _ways(seen: Seen, today: date) -> Ways:
    names = {Zoom.DAY: _("Day"), Zoom.WEEK: _("Week"), Zoom.MONTH: _("Month")}
    step = timedelta(days=28 if seen.zoom is Zoom.MONTH else seen.zoom.days)
    return Ways(
        before=_asks(seen.zoom, seen.first - step, seen.boat),
        after=_asks(seen.zoom, seen.first + step, seen.boat),
        today=_asks(seen.zoom, today, seen.boat),
        zooms=tuple((name, _asks(zoom, seen.first, seen.boat), zoom is seen.zoom) for zoom, name in names.items()),
        boat=f"?zoom={seen.zoom}&from={seen.first}&boat=",
        lit=seen.boat,
        all=_asks(seen.zoom, seen.first, ""),
    )


def _asks(zoom: Zoom, first: date, boat: str) -> str:
    return urlencode({"zoom": zoom, "from": first.isoformat(), **({"boat": boat} if boat else {})})

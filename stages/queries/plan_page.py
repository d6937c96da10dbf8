"""The plan's page: the drawing, what is late and why, what has no place, what moved, and the room."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Any

from django.utils.formats import date_format
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.models import Station
from stages.models import HullDates
from stages.pictures.plan import PlanPicture
from stages.planner.compare import finishes
from stages.planner.explain import Wait, chain
from stages.planner.problem import Job
from stages.planner.schedule import Left
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries.dates import in_words, newest_dates_by_tag
from stages.queries.plan_chart import Seen, Zoom, chart
from stages.queries.plan_room import Rooms, rooms
from stages.queries.planning.undated import first_hand
from stages.queries.plans import HeldPlan
from stages.saying import day, when

CHAINS = 12  # late boats whose chain of waits is shown at once; every other boat's is a touch away


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
class BoatDays:
    """A boat's days by the plan and by the forecast, or why it has none, and the chance of its promise, in words.

    ``suggested`` is the day that may be promised, where none is yet.
    """

    tag: str
    done: str
    span: str
    no_date: str
    promised: str
    suggested: str
    chance: str


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
    """What the page shows; ``unplaced`` are the steps at fault, ``waiting`` have no place since they wait for these."""

    picture: PlanPicture
    says: str
    ways: Ways
    late: Sequence[LateBoat]
    lit: tuple[str, ...]
    moved: Sequence[str]
    boats: Sequence[BoatDays]
    unplaced: Sequence[Unplaced]
    waiting: Sequence[Unplaced]
    rooms: Rooms
    made: str


def plan_page(made: HeldPlan, seen: Seen, stations: Sequence[Station], now: datetime) -> PlanPage:
    """The page for what is looked at, in three queries beside the plan's own.

    Parameters
    ----------
    made, seen : HeldPlan, Seen
        The plan, and what of it.
    stations : sequence of Station
        The shop's stations in its order.
    now : datetime
        The moment by the shop's clock, aware.
    """
    late = late_boats(made, now)
    at_fault, waiting = _left(made)
    return PlanPage(
        picture=chart(made, seen, stations, now),
        says=_says(seen, late),
        ways=_ways(seen, now.date()),
        late=late,
        lit=chain_of(made, seen.boat, now) if seen.boat else (),
        moved=[_moved(one, now.date()) for one in made.moved],
        boats=boat_days(made, now),
        unplaced=[_unplaced(made, left) for left in at_fault],
        waiting=[_unplaced(made, left) for left in waiting],
        rooms=rooms(made, now),
        made=date_format(made.made_at.astimezone(now.tzinfo), "j F, H:i"),
    )


def late_boats(made: HeldPlan, now: datetime) -> list[LateBoat]:
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
            promised=day(made.ends_on(due, _zone(now)), now.date()),
            done=day(made.ends_on(end, _zone(now)), now.date()),
            days=_days(slots),
            chain=chain_of(made, tag, now) if number < CHAINS else (),
        )
        for number, (slots, tag, due, end) in enumerate(sorted(found, reverse=True))
    ]


def chain_of(made: HeldPlan, tag: str, now: datetime) -> tuple[str, ...]:
    """The waits that a boat's finish hangs on, from now to its last step, in words."""
    return tuple(_wait(made, one, tag, now) for one in chain(made.problem, made.schedule, tag))


def _wait(made: HeldPlan, one: Wait, tag: str, now: datetime) -> str:
    step = made.step(one.step)
    why = _(one.text) % {"until": when(made.at(one.until), now), **one.values}
    if step.job == tag:
        return f"{step.title}: {why}"
    return f"{step.job}, {step.title}: {why}"


def boat_days(made: HeldPlan, now: datetime) -> list[BoatDays]:
    """Every boat of the plan, the next to be done first, in one query."""
    rows = newest_dates_by_tag(job.key for job in made.problem.jobs)
    ends = finishes(made.problem, made.schedule)
    order = sorted(made.problem.jobs, key=lambda job: (ends.get(job.key) or made.problem.horizon, job.key))
    return [_boat(made, job, ends.get(job.key), rows.get(job.key), now) for job in order]


def _boat(made: HeldPlan, job: Job, end: int | None, told: HullDates | None, now: datetime) -> BoatDays:
    today = now.date()
    days, chance = (told.days, told.chance_pct) if told else (None, None)
    return BoatDays(
        tag=job.key,
        done="" if end is None else day(made.ends_on(end, _zone(now)), today),
        span=" – ".join(dict.fromkeys((day(days.early, today), day(days.late, today)))) if days else "",
        no_date=in_words(told.no_date) if told else "",
        promised="" if job.due is None else day(made.ends_on(job.due, _zone(now)), today),
        suggested=day(days.suggested, today) if days and job.due is None else "",
        chance="" if chance is None else f"{chance:.0f} %",
    )


def _moved(one: Mapping[str, Any], today: date) -> str:
    """What moved: "H-104 now Fri, was Wed: filler still soft"."""
    days = {name: day(date.fromisoformat(one[name]), today) if one[name] else "" for name in ("now", "was")}
    text = _("%(boat)s now %(now)s, was %(was)s")
    if not days["now"]:
        text = _("%(boat)s has no date now, was %(was)s")
    elif not days["was"]:
        text = _("%(boat)s now %(now)s, had no date")
    says, why = text % {"boat": one["tag"], **days}, in_words(one["why"])
    return f"{says}: {why}" if why else f"{says}."


def _zone(now: datetime) -> tzinfo:
    assert now.tzinfo is not None
    return now.tzinfo


def _days(slots: int) -> str:
    days = max(1, -(-slots // SLOTS_A_DAY))
    return ngettext("%(days)s day late", "%(days)s days late", days) % {"days": days}


def _left(made: HeldPlan) -> tuple[list[Left], list[Left]]:
    """What has no place: the steps at fault (all of a boat that waits in a ring), and what waits for them."""
    first = {left.step for left in first_hand(made.problem, made.schedule.left)}
    at_fault = {made.step(key).job for key in first}
    rows: tuple[list[Left], list[Left]] = ([], [])
    for left in made.schedule.left:
        waits = left.step not in first and made.step(left.step).job in at_fault
        rows[waits].append(left)
    return rows


def _unplaced(made: HeldPlan, left: Left) -> Unplaced:
    step = made.step(left.step)
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

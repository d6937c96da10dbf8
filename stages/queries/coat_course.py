"""A coat over the air that it stood in and the air ahead: its ages, its goals, and its picture's time."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from django.utils import timezone
from django.utils.text import get_text_list
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import Zone
from shop.units import UnitSystem
from stages.engine.air import FloatArray
from stages.engine.airlog import AirLog
from stages.engine.alongair import AlongAir, Turned, below, joined
from stages.engine.label import Dryness, Label
from stages.engine.projection import Outlook, Projection
from stages.engine.state import Coat
from stages.engine.work import Work
from stages.pictures.age_curve import AgeCourse, Goal
from stages.pictures.timeline import Timeline
from stages.queries.pictured import Degrees, air_lines, outlook_of
from stages.saying import when

SAMPLES = 118  # moments along the curve
LOOK = timedelta(hours=72)  # ahead, where the coat never gets dry
AFTER = 0.12  # of the time shown lies after the last goal
WINDOW_SHOWN = 2.0  # a recoat window is in the picture where it does not make it longer than this
STEPS = {
    Dryness.TACK_FREE: gettext_lazy("tack-free"),
    Dryness.SAND: gettext_lazy("sand"),
    Dryness.RECOAT: gettext_lazy("recoat"),
    Dryness.TOPCOAT: gettext_lazy("cover"),
    Dryness.HANDLE: gettext_lazy("handle"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """A room kept at another temperature, °C, and humidity, %; without one its vapour stays."""

    air_c: float
    rh_pct: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Aheads:
    """The same work in the likely air, in warm and cold nights, and in a room that is kept otherwise."""

    likely: Work
    warm: Work
    cold: Work
    what_if: Work | None


def aheads(work: Work, coat: Coat, now: datetime, zones: Mapping[int, Zone], what_if: WhatIf | None = None) -> Aheads:
    """The work over the air ahead of now.

    Parameters
    ----------
    work : Work
        The hull as the engine reads it.
    coat : Coat
        The coat whose zones are looked ahead in.
    now : datetime
        The moment, aware.
    zones : mapping of int to Zone
        The shop's zones, for their heating.
    what_if : WhatIf, optional
        How the zone in which it stands is kept from now on.
    """
    zone_info = work.world.zone_info
    stood = [zone for zone, _since in work.stood_in(coat)]
    logs = {zone: work.world.air.get(zone, AirLog.of(())) for zone in stood}
    found = {zone: outlook_of(log, zones.get(zone), now, zone_info) for zone, log in logs.items()}
    outlooks = {zone: outlook for zone, (outlook, _projection) in found.items()}
    other = None
    if what_if:
        here, usual = stood[-1], found[stood[-1]][1]
        turned = Turned(before=usual, after=_kept(usual, what_if, work), at_s=now.timestamp())
        other = {**_likely(outlooks), here: logs[here].with_projection(turned, since=now)}
    return Aheads(
        likely=_in_air(work, _likely(outlooks)),
        warm=_in_air(work, {zone: outlook.warm for zone, outlook in outlooks.items()}),
        cold=_in_air(work, {zone: outlook.cold for zone, outlook in outlooks.items()}),
        what_if=_in_air(work, other) if other else None,
    )


def _likely(outlooks: Mapping[int, Outlook]) -> dict[int, AirLog]:
    return {zone: outlook.likely for zone, outlook in outlooks.items()}


def _kept(usual: Projection, what_if: WhatIf, work: Work) -> Projection:
    if what_if.rh_pct is None:
        return usual.held_at(what_if.air_c)
    return Projection.steady(what_if.air_c, what_if.rh_pct, work.world.zone_info)


def _in_air(work: Work, air: Mapping[int, AirLog]) -> Work:
    return replace(work, world=replace(work.world, air={**work.world.air, **air}))


def goals_of(coat: Coat, label: Label, ahead: Aheads) -> tuple[Goal, ...]:
    """What the label promises of a coat, by rising hours; several that take the same hours are one."""
    by_hours: dict[float, list[Dryness]] = {}
    said = dict(label.hours)
    for dryness in sorted(said, key=lambda dryness: said[dryness]):
        by_hours.setdefault(said[dryness] * label.film_factor, []).append(dryness)
    return tuple(
        replace(goal_of(coat, dryness[0], needed_h, ahead), name=_named(dryness))
        for needed_h, dryness in by_hours.items()
    )


def goal_of(coat: Coat, dryness: Dryness, needed_h: float, ahead: Aheads) -> Goal:
    """One dryness of a coat by itself."""
    return Goal(
        name=_named([dryness]),
        needed_h=needed_h,
        likely=_reached(ahead.likely, coat, dryness),
        early=_reached(ahead.warm, coat, dryness),
        late=_reached(ahead.cold, coat, dryness),
        what_if=_reached(ahead.what_if, coat, dryness) if ahead.what_if else None,
    )


def band_words(goal: Goal, now: datetime) -> str:
    """How early and how late a goal may be reached; nothing once it is."""
    early, late = goal.early, goal.late
    if goal.likely and goal.likely <= now:
        return ""
    if early and late:
        days = {timezone.localtime(at).date() for at in (early, late, goal.likely) if at}
        first, last = (f"{timezone.localtime(at):%H:%M}" if len(days) == 1 else when(at, now) for at in (early, late))
        return _("between %(early)s and %(late)s") % {"early": first, "late": last}
    if early:
        return _("not before %(early)s, and in cold nights not at all") % {"early": when(early, now)}
    return ""


def _named(dryness: list[Dryness]) -> str:
    steps = [str(STEPS[step]) for step in dryness if step is not Dryness.TACK_FREE]
    to = _("dry to %(steps)s") % {"steps": get_text_list(steps, _("and"))} if steps else ""
    return ", ".join(filter(None, (str(STEPS[Dryness.TACK_FREE]) if Dryness.TACK_FREE in dryness else "", to)))


def _reached(work: Work, coat: Coat, dryness: Dryness) -> datetime | None:
    reached = work.dry_at(coat, dryness)
    return reached.at if reached else None


def course_of(
    coat: Coat, label: Label, ahead: Aheads, goals: tuple[Goal, ...], now: datetime, units: UnitSystem
) -> AgeCourse:
    """What the picture of a coat shows."""
    closes = ahead.likely.window_closed_at(coat)
    line = _timeline(coat, goals, closes, now)
    seconds = np.linspace(line.start_s, line.end_s, SAMPLES)
    if line.holds(now.timestamp()):
        seconds = np.union1d(seconds, [now.timestamp()])
    likely, warm, cold = (air_along(work, coat, line) for work in (ahead.likely, ahead.warm, ahead.cold))
    air, humidity, _margin = air_lines(likely, warm, cold, Degrees(units))
    return AgeCourse(
        timeline=line,
        now_s=now.timestamp(),
        zone=ahead.likely.world.zone_info,
        seconds=seconds,
        likely_h=_ages(ahead.likely, coat, seconds),
        early_h=_ages(ahead.warm, coat, seconds),
        late_h=_ages(ahead.cold, coat, seconds),
        what_if_h=_ages(ahead.what_if, coat, seconds) if ahead.what_if else None,
        goals=goals,
        closes=closes,
        still=below(likely.seconds, likely.air_c, label.lowest_c),
        air=air,
        humidity=humidity,
    )


def _timeline(coat: Coat, goals: tuple[Goal, ...], closes: datetime | None, now: datetime) -> Timeline:
    start, likely = coat.at, [goal.likely for goal in goals if goal.likely]
    if len(likely) < len(goals):
        return Timeline(start.timestamp(), (max([start, now, *likely]) + LOOK).timestamp())
    last = max(likely)
    late = max((goal.late for goal in goals if goal.late), default=last)
    end = max(last, min(late, last + (last - start) / 2)) + AFTER * (last - start)
    if now > last and now < end:
        end = max(end, now + AFTER / 2 * (now - start))
    if closes and closes > end and closes - start < WINDOW_SHOWN * (end - start):
        end = closes + AFTER / 2 * (closes - start)
    return Timeline(start.timestamp(), max(end, start + timedelta(minutes=30)).timestamp())


def _ages(work: Work, coat: Coat, seconds: FloatArray) -> FloatArray:
    zone = work.world.zone_info
    return np.array([work.age(coat, datetime.fromtimestamp(second, zone)).hours for second in seconds.tolist()])


def air_along(work: Work, coat: Coat, line: Timeline) -> AlongAir:
    """The air that a coat stands in through a picture's time."""
    return joined([AlongAir.of(log, start_s, end_s) for log, start_s, end_s in _legs(work, coat, line)])


def _legs(work: Work, coat: Coat, line: Timeline) -> Iterator[tuple[AirLog, float, float]]:
    stood = work.stood_in(coat)
    ends = [*(since.timestamp() for _zone, since in stood[1:]), line.end_s]
    for (zone, since), end_s in zip(stood, ends, strict=True):
        start_s, end_s = since.timestamp(), min(end_s, line.end_s)
        if start_s < end_s:
            yield work.world.air[zone], start_s, end_s

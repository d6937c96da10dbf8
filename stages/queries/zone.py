"""One zone of air: its last and its next days, whether a coat may go on, and what its solvents may come to."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, tzinfo

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.models import WeatherDay, Zone
from shop.units import UnitSystem, format_temperature
from stages.engine.airlog import AirLog
from stages.engine.alongair import AlongAir
from stages.engine.paintair import (
    FIRST_HOURS,
    AirLimits,
    Hindrance,
    PaintAir,
    clears_at,
    first_hindrance,
    margin_trend_c_h,
    paint_air,
    refused_spans,
)
from stages.engine.projection import Outlook
from stages.pictures.timeline import Timeline
from stages.pictures.zone_air import AirCourse, AirPicture, Weather, draw_zone_air
from stages.queries.fumes import FumesToday, fumes_today
from stages.queries.pictured import DayOfAir, Degrees, air_lines, days_of, label_hours, local_days, midnight, outlook_of
from stages.queries.world import Around
from stages.saying import when

BACK, AHEAD = timedelta(days=5), timedelta(days=4)
STEADY_K_H = 0.1  # a margin that changes less in an hour is said to stand
HINDERED = {
    Hindrance.COLD: gettext_lazy("too cold"),
    Hindrance.HOT: gettext_lazy("too hot"),
    Hindrance.DAMP: gettext_lazy("too damp"),
    Hindrance.DEW: gettext_lazy("too near the dew point"),
}
Spans = tuple[tuple[datetime, datetime], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AirNow:
    """The air of this moment in words, and whether a coat may go on."""

    air: str
    humidity: str
    margin: str
    assumed: bool
    may_paint: bool
    says: str
    clears: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The last and the next days: now, the picture, what it says in words, and each day."""

    now: AirNow
    picture: AirPicture
    says: str
    days: tuple[DayOfAir, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ZonePage:
    """What the page of a zone shows; ``air`` is None before anybody read it."""

    zone: Zone
    air: Air | None
    limits: str
    fumes: FumesToday


def zone_page(*, zone: Zone, shop: Around, now: datetime) -> ZonePage:
    """The page of a zone, in two queries, and one more for the weather of one outdoors.

    Parameters
    ----------
    zone : Zone
        The zone.
    shop : Around
        The shop with its air.
    now : datetime
        The moment, aware.
    """
    log = shop.world.air.get(zone.pk, AirLog.of(()))
    degrees = Degrees(UnitSystem(shop.setup.shop.units))
    return ZonePage(
        zone=zone,
        air=None if log.is_empty else _air(zone, log, shop, now, degrees),
        limits=_limits(AirLimits(), degrees),
        fumes=fumes_today(zone=zone, log=log, shop=shop, now=now),
    )


def _air(zone: Zone, log: AirLog, shop: Around, now: datetime, degrees: Degrees) -> Air:
    tz = shop.setup.shop.zone_info
    outlook, _projection = outlook_of(log, zone, now, tz)
    today = now.astimezone(tz).date()
    start, end = midnight(today - BACK, tz), midnight(today + AHEAD, tz)
    line = Timeline(start.timestamp(), end.timestamp())
    along = AlongAir.of(outlook.likely, line.start_s, line.end_s)
    warm, cold = (AlongAir.at(side, along.seconds) for side in (outlook.warm, outlook.cold))
    temperature, humidity, margin = air_lines(along, warm, cold, degrees)
    least = AirLimits().margin_c * degrees.of_difference(1.0)
    refused = refused_spans(outlook.likely, start, end)
    weather = dict(_weather(zone, start, end, today))
    course = AirCourse(
        timeline=line,
        now_s=now.timestamp(),
        zone=tz,
        series=(temperature, humidity, replace(margin, limits=(least,))),
        refused=tuple((begin.timestamp(), close.timestamp()) for begin, close in refused),
        days=tuple(_marks(line, tz, weather)) if zone.outdoors else (),
    )
    return Air(
        now=_now(outlook, now, degrees),
        picture=draw_zone_air(course),
        says=_refused_words(refused, start, now),
        days=tuple(_day(day, refused, weather, tz) for day in days_of(along, now, tz, degrees)),
    )


def _now(outlook: Outlook, now: datetime, degrees: Degrees) -> AirNow:
    air, first = paint_air(outlook.likely, now), first_hindrance(outlook.likely, now)
    clears = clears_at(outlook.likely, now) if first else None
    return AirNow(
        air=format_temperature(air.air_c, degrees.units),
        humidity=f"{air.rh_pct:.0f} %",
        margin=margin_words(air, margin_trend_c_h(outlook.likely, now), degrees),
        assumed=outlook.likely.air_at(now).assumed,
        may_paint=first is None,
        says=may_it(first, now, degrees),
        clears=when(clears, now) if clears else "",
    )


def margin_words(air: PaintAir, trend_k_h: float, degrees: Degrees) -> str:
    """How far the surface is over the dew point, and whether that rises or falls."""
    words = _("surface %(margin)s over the dew point") % {"margin": degrees.difference(air.margin_c)}
    if abs(trend_k_h) < STEADY_K_H:
        return _("%(margin)s, steady") % {"margin": words}
    rate = degrees.difference(abs(trend_k_h))
    moves = _("%(margin)s, rising %(rate)s an hour") if trend_k_h > 0 else _("%(margin)s, falling %(rate)s an hour")
    return moves % {"margin": words, "rate": rate}


def may_it(first: PaintAir | None, now: datetime, degrees: Degrees) -> str:
    """Whether a coat may go on; ``first`` is the first moment of its first hours at which the air keeps it off."""
    if first is None:
        return _("A coat may go on: the air holds now and through its first %(hours)s hours.") % {
            "hours": f"{FIRST_HOURS:.0f}"
        }
    words = {
        "why": ", ".join(str(HINDERED[hindrance]) for hindrance in first.hindrances),
        "air": format_temperature(first.air_c, degrees.units),
        "rh": f"{first.rh_pct:.0f}",
        "margin": degrees.difference(first.margin_c),
        "when": when(first.at, now),
    }
    if first.at == now:
        return _("No coat may go on: it is %(why)s.") % words
    return (
        _("No coat may go on: within its first hours, %(when)s, it gets %(why)s (%(air)s, %(rh)s %%, %(margin)s).")
        % words
    )


def _refused_words(refused: Spans, start: datetime, now: datetime) -> str:
    ahead = [(begin, close) for begin, close in refused if close > now]
    if not ahead:
        return _("Nothing keeps a coat off in the days ahead.")
    begin, close = ahead[0]
    # Shown to the minute, it is over at the next one.
    words = {"begin": when(max(begin, now), now), "close": when(close + timedelta(seconds=59), now)}
    return _("A coat is kept off from %(begin)s to %(close)s.") % words


def _limits(limits: AirLimits, degrees: Degrees) -> str:
    return _(
        "%(air)s, at most %(rh)s %% humidity, and the surface at least %(margin)s over the dew point; "
        "a product’s own sheet may ask for more"
    ) % {
        "air": degrees.span(limits.lowest_c, limits.highest_c),
        "rh": f"{limits.most_rh_pct:.0f}",
        "margin": degrees.difference(limits.margin_c),
    }


def _weather(zone: Zone, start: datetime, end: datetime, today: date) -> Iterator[tuple[date, bool | None]]:
    if not zone.outdoors:
        return
    known = dict(WeatherDay.objects.filter(zone=zone, day__gte=start.date()).values_list("day", "dry"))
    day = start.date()
    while day <= today:
        yield day, known.get(day)
        day += timedelta(days=1)


def _marks(line: Timeline, tz: tzinfo, weather: Mapping[date, bool | None]) -> Iterator[Weather]:
    for on, begin_s, end_s in local_days(line.start_s, line.end_s, tz):
        if on in weather:
            yield Weather(start_s=begin_s, end_s=end_s, dry=weather[on])


def _day(day: DayOfAir, refused: Spans, weather: Mapping[date, bool | None], tz: tzinfo) -> DayOfAir:
    hours = sum(_hours_on(day.on, begin, close, tz) for begin, close in refused)
    words = label_hours(hours) if hours else _("none")
    rain = {True: _("dry"), False: _("rain"), None: ""}[weather.get(day.on)]
    return replace(day, refused=words, rain=capfirst(rain))


def _hours_on(on: date, begin: datetime, close: datetime, tz: tzinfo) -> float:
    first, last = midnight(on, tz), midnight(on + timedelta(days=1), tz)
    return max(0.0, (min(close, last).timestamp() - max(begin, first).timestamp()) / 3600.0)

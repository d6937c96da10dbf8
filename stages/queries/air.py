"""The air of every zone as it was read last and as a coat meets it, and the outdoor zones' last days of weather."""

import operator
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import reduce

from django.db.models import OuterRef, Q, Subquery
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from shop.models import Reading, Sensor, WeatherDay, Zone
from shop.readings.standing import sensor_rows
from shop.units import UnitSystem, format_temperature
from stages.engine.air import dew_point_c
from stages.engine.airlog import AirLog
from stages.engine.paintair import first_hindrance, margin_trend_c_h, paint_air
from stages.queries.pictured import Degrees
from stages.queries.world import Around
from stages.queries.zone import margin_words, may_it
from stages.saying import when

READINGS_SHOWN = 6
LOOK_BACK = timedelta(days=30)
DAYS_SHOWN = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One reading, ready to show in the shop's units."""

    when: str
    air: str
    humidity: str
    surface: str
    dew_point: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Painting:
    """How far a zone's surfaces are over the dew point, and whether a coat may go on, in words."""

    margin: str
    refused: bool
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneAir:
    """A zone with its last readings, the latest first, and what a coat would meet.

    ``painting`` is None where nobody read the air for hours; ``silent`` tells of each sensor that should have been
    heard by now.
    """

    zone: Zone
    readings: Sequence[Read]
    painting: Painting | None
    silent: Sequence[str]

    @property
    def latest(self) -> Read | None:
        """What was read last."""
        return self.readings[0] if self.readings else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A day and whether it was free of rain; None where nobody said."""

    on: date
    says: str
    dry: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneWeather:
    """An outdoor zone with its last days, today first."""

    zone: Zone
    days: Sequence[Day]


def zone_airs(*, shop: Around, now: datetime) -> list[ZoneAir]:
    """Every zone with its last readings of `LOOK_BACK` and its silent sensors, in four queries.

    Parameters
    ----------
    shop : Around
        The shop with its air.
    now : datetime
        The moment, aware.
    """
    counting = Reading.objects.filter(out=False, at__gte=now - LOOK_BACK)
    of_zone = counting.filter(zone=OuterRef("pk")).order_by("-at").values("at")
    # The index gives the oldest moment that is shown; the rest of a year of readings is not touched.
    zones = list(Zone.objects.annotate(shown_since=Subquery(of_zone[READINGS_SHOWN - 1 : READINGS_SHOWN])))
    if not zones:
        return []
    since = {zone: zone.shown_since or now - LOOK_BACK for zone in zones}
    shown = reduce(operator.or_, (Q(zone=zone, at__gte=at) for zone, at in since.items()), Q())
    # In no order: sorted by the database it would walk through the whole index.
    rows = Reading.objects.filter(shown, out=False).select_related("by", "sensor").order_by()
    latest_first = sorted(rows, key=lambda row: row.at, reverse=True)
    by_zone = {zone.pk: [row for row in latest_first if row.zone_id == zone.pk][:READINGS_SHOWN] for zone in zones}
    silent = [row.sensor for row in sensor_rows(now=now) if row.silent]
    units = UnitSystem(shop.setup.shop.units)
    return [
        ZoneAir(
            zone=zone,
            readings=[_read(row, units, now) for row in by_zone[zone.pk]],
            painting=_painting(shop.world.air.get(zone.pk), now, units),
            silent=[_silent(sensor, now) for sensor in silent if sensor.zone_id == zone.pk],
        )
        for zone in zones
    ]


def _painting(log: AirLog | None, now: datetime, units: UnitSystem) -> Painting | None:
    if log is None or log.air_at(now).assumed:
        return None
    degrees, first = Degrees(units), first_hindrance(log, now)
    return Painting(
        margin=margin_words(paint_air(log, now), margin_trend_c_h(log, now), degrees),
        refused=first is not None,
        says=may_it(first, now, degrees),
    )


def _silent(sensor: Sensor, now: datetime) -> str:
    if sensor.last_heard_at is None:
        return _("%(sensor)s was never heard.") % {"sensor": sensor}
    return _("%(sensor)s is silent: last heard %(when)s.") % {"sensor": sensor, "when": when(sensor.last_heard_at, now)}


def zone_weathers(*, today: date) -> list[ZoneWeather]:
    """Every outdoor zone with its last `DAYS_SHOWN` days, in two queries."""
    days = [today - timedelta(days=back) for back in range(DAYS_SHOWN)]
    known = {(row.zone_id, row.day): row.dry for row in WeatherDay.objects.filter(day__in=days)}
    return [
        ZoneWeather(zone=zone, days=[_day(on, today, known.get((zone.pk, on))) for on in days])
        for zone in Zone.objects.filter(outdoors=True)
    ]


def _read(row: Reading, units: UnitSystem, now: datetime) -> Read:
    return Read(
        when=when(row.at, now),
        air=format_temperature(row.air_c, units),
        humidity=f"{row.rh_pct:.0f} %",
        surface=format_temperature(row.surface_c, units) if row.surface_c is not None else "",
        dew_point=format_temperature(float(dew_point_c(row.air_c, row.rh_pct)), units),
        by=row.by.called if row.by else (row.sensor.name if row.sensor else ""),
    )


def _day(on: date, today: date, dry: bool | None) -> Day:
    return Day(on=on, says=_("today") if on == today else date_format(on, "D j F"), dry=dry)

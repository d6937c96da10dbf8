"""The air of every zone as it was read last, and the outdoor zones' last days of weather."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Prefetch
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from shop.models import Reading, Shop, WeatherDay, Zone
from shop.units import UnitSystem, format_temperature
from stages.engine.air import dew_point_c
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
class ZoneAir:
    """A zone with its last readings, the latest first."""

    zone: Zone
    readings: Sequence[Read]

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


def zone_airs(*, shop: Shop, now: datetime) -> list[ZoneAir]:
    """Every zone with its last readings of `LOOK_BACK`, in two queries."""
    counting = Reading.objects.filter(at__gte=now - LOOK_BACK, out=False)
    since = counting.select_related("by", "sensor").order_by("-at")
    zones = Zone.objects.prefetch_related(Prefetch("readings", since[:READINGS_SHOWN], to_attr="last_readings"))
    units = UnitSystem(shop.units)
    return [ZoneAir(zone=zone, readings=[_read(row, units, now) for row in zone.last_readings]) for zone in zones]


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

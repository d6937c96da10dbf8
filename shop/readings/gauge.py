"""The weather of the outdoor zones as rain gauges read it; what somebody said by hand stays."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta, tzinfo
from itertools import groupby

from django.db.models import Exists, OuterRef

from shop.models import RainFall, Sensor, Shop, WeatherDay, Zone
from shop.readings.sample import Rain
from shop.readings.weather import LONGEST_UNREAD, DayOfRain, bounds, days_touched, judge_day


def record_weather_of(*, moments: Iterable[datetime]) -> None:
    """Say anew of the days around these moments whether they were dry, in every outdoor zone: they have one sky.

    A day is wet where any gauge says so, dry where at least one says so and none says otherwise.
    """
    zone_info = Shop.the_one().zone_info
    outdoors = list(Zone.objects.filter(outdoors=True))
    has_rain = Exists(RainFall.objects.filter(sensor=OuterRef("pk")))
    gauges = list(Sensor.objects.filter(has_rain, zone__in=outdoors))
    for days in _stretches(days_touched(moments, zone_info)):
        verdicts = [verdict for gauge in gauges for verdict in _verdicts(gauge, days, zone_info)]
        _write([verdict for verdict in map(_together, _by_day(verdicts)) if verdict], outdoors)


def _stretches(days: list[date]) -> Iterator[list[date]]:
    """Split days into stretches without a gap."""
    for _first, stretch in groupby(enumerate(days), key=lambda pair: pair[1] - timedelta(days=pair[0])):
        yield [day for _number, day in stretch]


def _verdicts(gauge: Sensor, days: list[date], zone_info: tzinfo) -> Iterator[DayOfRain]:
    begin, end = bounds(days[0], zone_info)[0], bounds(days[-1], zone_info)[1]
    around = (begin - LONGEST_UNREAD, end + LONGEST_UNREAD)
    rows = RainFall.objects.filter(sensor=gauge, at__range=around).order_by("at").values_list("at", "rain_mm")
    falls = [Rain(at=at, rain_mm=rain_mm) for at, rain_mm in rows]
    for day in days:
        first, last = bounds(day, zone_info)
        near = [fall for fall in falls if first - LONGEST_UNREAD <= fall.at <= last + LONGEST_UNREAD]
        yield judge_day(day, near, zone_info)


def _by_day(verdicts: list[DayOfRain]) -> Iterator[list[DayOfRain]]:
    for _day, same in groupby(sorted(verdicts, key=lambda verdict: verdict.day), key=lambda verdict: verdict.day):
        yield list(same)


def _together(verdicts: list[DayOfRain]) -> DayOfRain | None:
    sure = [verdict for verdict in verdicts if verdict.dry is not None]
    return max(sure, key=lambda verdict: (not verdict.dry, verdict.rain_mm), default=None)


def _write(verdicts: list[DayOfRain], outdoors: list[Zone]) -> None:
    days = [verdict.day for verdict in verdicts]
    held = {(row.zone_id, row.day): row for row in WeatherDay.objects.filter(day__in=days, zone__in=outdoors)}
    fresh, changed = [], []
    for verdict in verdicts:
        for zone in outdoors:
            row = held.get((zone.pk, verdict.day))
            if row is None:
                fresh.append(WeatherDay(zone=zone, day=verdict.day, dry=verdict.dry is True, rain_mm=verdict.rain_mm))
            elif row.rain_mm is not None:
                row.dry, row.rain_mm = verdict.dry is True, verdict.rain_mm
                changed.append(row)
    WeatherDay.objects.bulk_create(fresh)
    WeatherDay.objects.bulk_update(changed, ["dry", "rain_mm"], batch_size=500)

"""Dry days ahead, as a plan assumes them: evenly spread, as many as the shop's own record has."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from shop.models import WeatherDay
from shop.working_hours import days_from
from stages.engine.vocab import StationKind
from stages.engine.world import World
from stages.planner.timegrid import Spans
from stages.queries.planning.grid import SLOT, Grid
from stages.queries.planning.practice import EVENING, MORNING, USUAL_DAYS, USUAL_DRY_SHARE

RECORD_DAYS = 90
A_DAY = timedelta(days=1)
LAST_SLOT = (datetime.combine(date.min, EVENING) - SLOT).time()


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """What is on record of one outdoor zone over the last three months."""

    days: Mapping[date, bool]

    @property
    def dry_share(self) -> float:
        """Share of days without rain: the record's, with the usual one standing in for a few days more."""
        dry = sum(self.days.values())
        return (dry + USUAL_DRY_SHARE * USUAL_DAYS) / (len(self.days) + USUAL_DAYS)

    def wet_after(self, *, wet: bool) -> float:
        """Chance that a day is wet after a wet or a dry one: as on record, the usual share standing in for a few."""
        after = [not self.days[day] for day in self.days if self.days.get(day - A_DAY) is (not wet)]
        return (sum(after) + (1.0 - USUAL_DRY_SHARE) * USUAL_DAYS) / (len(after) + USUAL_DAYS)

    def is_dry(self, day: date, today: date) -> bool:
        """Whether a day is dry: as recorded, else every so-manieth by the share."""
        if day in self.days:
            return self.days[day]
        n, share = (day - today).days, self.dry_share
        return math.floor((n + 1) * share + 0.5) > math.floor(n * share + 0.5)


def weather_of(today: date) -> dict[int, Weather]:
    """By outdoor zone, what is on record, in one query."""
    found: dict[int, dict[date, bool]] = {}
    rows = WeatherDay.objects.filter(day__gte=today - timedelta(days=RECORD_DAYS))
    for zone, day, dry in rows.values_list("zone_id", "day", "dry"):
        found.setdefault(zone, {})[day] = dry
    return {zone: Weather(days=days) for zone, days in found.items()}


def yard_weather(world: World, grid: Grid) -> Weather:
    """What is on record of the zone of the first yard; nothing where there is none."""
    yard = next((station.zone for station in world.of_kind(StationKind.YARD) if station.outdoors), None)
    return weather_of(grid.today).get(yard, Weather(days={})) if yard is not None else Weather(days={})


def dry_spans(weather: Weather, grid: Grid, days: int) -> Spans:
    """From morning to evening of each dry day: when a coat goes on outdoors."""
    return _spans(weather, grid, days, MORNING)


def dry_evenings(weather: Weather, grid: Grid, days: int) -> Spans:
    """The last slot of each dry day: whoever airs until then has aired for a day."""
    return _spans(weather, grid, days, LAST_SLOT)


def unknown_days(weather: Weather, grid: Grid, days: int) -> tuple[Spans, Spans]:
    """Of each day that is not on record, when a coat could go on and when it would have aired, were it dry."""
    first = grid.today + A_DAY
    ahead = [day for day in days_from(first, days - 1) if day not in weather.days]
    coats = tuple(span for day in ahead if (span := grid.span(day, MORNING, EVENING)))
    evenings = tuple(span for day in ahead if (span := grid.span(day, LAST_SLOT, EVENING)))
    return coats, evenings


def _spans(weather: Weather, grid: Grid, days: int, since: time) -> Spans:
    ahead = (day for day in days_from(grid.today, days) if weather.is_dry(day, grid.today))
    return tuple(span for day in ahead if (span := grid.span(day, since, EVENING)))

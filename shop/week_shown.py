"""Everybody's week in words, and the days off that lie ahead."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.formats import time_format

from shop.holidays_here import public_holidays
from shop.models import CrewMember, DayOff, Shop, Weekday, WorkedHoliday
from shop.working_hours import USUAL, Hours, hands, hours_of

A_YEAR = 366
MOST_HOLIDAYS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonShown:
    """A person's week: days of the same hours in one line; and their days off."""

    person: CrewMember
    week: tuple[tuple[str, str], ...]
    hours: float
    off: Sequence[DayOff]


@dataclass(frozen=True, slots=True, kw_only=True)
class HolidayShown:
    """A public holiday, and whether the shop works on it all the same."""

    day: date
    name: str
    worked: bool


def weeks_shown(today: date) -> list[PersonShown]:
    """Everybody who works on boats, in three queries."""
    found = []
    for person in hands().prefetch_related("work_days", "days_off"):
        own = {row.weekday: hours_of(row) for row in person.work_days.all()} or USUAL
        off = [row for row in person.days_off.all() if row.last >= today]
        week = [own.get(weekday, ()) for weekday in range(7)]
        found.append(PersonShown(person=person, week=tuple(_lines(week)), hours=_hours(week), off=off))
    return found


def closings(today: date) -> list[DayOff]:
    """The shop's closing days from today on."""
    return list(DayOff.objects.filter(person=None, last__gte=today))


def holidays_ahead(shop: Shop, today: date) -> list[HolidayShown]:
    """The public holidays of the coming year."""
    until = today + timedelta(days=A_YEAR)
    named = public_holidays(shop.country, shop.region, (today.year, until.year))
    worked = set(WorkedHoliday.objects.filter(day__gte=today).values_list("day", flat=True))
    days = sorted(day for day in named if today <= day <= until)[:MOST_HOLIDAYS]
    return [HolidayShown(day=day, name=named[day], worked=day in worked) for day in days]


def _lines(week: Sequence[Hours]) -> list[tuple[str, str]]:
    """Days in a row with the same hours are one line."""
    lines: list[tuple[str, str]] = []
    first = 0
    for weekday in range(1, 8):
        if weekday == 7 or week[weekday] != week[first]:
            if week[first]:
                lines.append((_days(first, weekday - 1), _clock(week[first])))
            first = weekday
    return lines


def _days(first: int, last: int) -> str:
    names = [str(Weekday(day).label) for day in dict.fromkeys((first, last))]
    return " – ".join(names)


def _clock(hours: Hours) -> str:
    return ", ".join(f"{time_format(since, 'H:i')} – {time_format(until, 'H:i')}" for since, until in hours)


def _hours(week: Sequence[Hours]) -> float:
    minutes = sum(
        (until.hour - since.hour) * 60 + until.minute - since.minute for hours in week for since, until in hours
    )
    return minutes / 60

"""Hours of the week, days off, closing days, and holidays that are worked; each write has a plan made anew."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time

from django.db import transaction

from shop.models import CrewMember, DayOff, WorkDay, WorkedHoliday


@dataclass(frozen=True, slots=True, kw_only=True)
class DayHours:
    """The hours of one day of the week; all of it None for a day off."""

    starts: time | None = None
    ends: time | None = None
    break_starts: time | None = None
    break_ends: time | None = None


def set_week(*, person: CrewMember, week: Mapping[int, DayHours]) -> None:
    """Write down the hours of a person, a row for every day of the week (0 is Monday).

    Raises
    ------
    ValidationError
        When hours of a day cannot be: see `shop.models.hours.check_hours`.
    """
    with transaction.atomic():
        for weekday in range(7):
            hours = week.get(weekday, DayHours())
            row = WorkDay.objects.filter(person=person, weekday=weekday).first() or WorkDay(
                person=person, weekday=weekday
            )
            row.starts, row.ends = hours.starts, hours.ends
            row.break_starts, row.break_ends = hours.break_starts, hours.break_ends
            row.clean()
            row.save()


def add_days_off(*, person: CrewMember | None, first: date, last: date, reason: str = "") -> DayOff:
    """Note days off of a person, or closing days of the shop; the same days twice are noted once.

    Raises
    ------
    ValidationError
        When the last day comes before the first.
    """
    row = DayOff(person=person, first=first, last=last, reason=reason)
    row.clean()
    with transaction.atomic():
        held = DayOff.objects.filter(person=person, first=first, last=last).first()
        if held is None:
            row.save()
        return held or row


def remove_days_off(*, number: int) -> None:
    """Take noted days off back; those that are gone already are no matter."""
    for row in DayOff.objects.filter(pk=number):  # one by one, so that the set-up's stamp changes
        row.delete()


def work_holiday(*, day: date, worked: bool) -> None:
    """Work on a public holiday all the same, or leave it free."""
    if worked:
        WorkedHoliday.objects.get_or_create(day=day)
    else:
        for row in WorkedHoliday.objects.filter(day=day):
            row.delete()

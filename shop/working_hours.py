"""Who is in the shop on which day and when: hours of the week, less days off, closing days and public holidays."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from django.db.models import QuerySet

from shop.holidays_here import public_holidays
from shop.models import CrewMember, DayOff, Role, Shop, WorkDay, WorkedHoliday

Hours = tuple[tuple[time, time], ...]
SATURDAY = 5
# Eight to five with an hour off, from Monday to Friday. Common practice, no published source.
A_DAY: Hours = ((time(8), time(12)), (time(13), time(17)))
USUAL: Mapping[int, Hours] = dict.fromkeys(range(SATURDAY), A_DAY)
Days = tuple[tuple[date, date], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendars:
    """The shop's calendars.

    Parameters
    ----------
    people : tuple of CrewMember
        Who works on boats.
    weeks : mapping of int to mapping
        By person, the hours of each day of the week; who is not in it works the usual hours.
    off : mapping of int or None to tuple of pairs of date
        By person, first and last days off; by None, the shop's closing days.
    holidays : mapping of date to str
        Public holidays by name, those that are worked left out.
    """

    people: tuple[CrewMember, ...]
    weeks: Mapping[int, Mapping[int, Hours]] = field(default_factory=dict)
    off: Mapping[int | None, Days] = field(default_factory=dict)
    holidays: Mapping[date, str] = field(default_factory=dict)

    @classmethod
    def of(cls, shop: Shop, first: date, last: date) -> "Calendars":
        """Read them for a span of days, in four queries."""
        weeks: dict[int, dict[int, Hours]] = defaultdict(dict)
        for row in WorkDay.objects.all():
            weeks[row.person_id][row.weekday] = hours_of(row)
        off: dict[int | None, list[tuple[date, date]]] = defaultdict(list)
        for gone in DayOff.objects.filter(last__gte=first, first__lte=last):
            off[gone.person_id].append((gone.first, gone.last))
        worked = set(WorkedHoliday.objects.filter(day__gte=first, day__lte=last).values_list("day", flat=True))
        named = public_holidays(shop.country, shop.region, range(first.year, last.year + 1))
        return cls(
            people=tuple(hands()),
            weeks=weeks,
            off={key: tuple(days) for key, days in off.items()},
            holidays={day: name for day, name in named.items() if day not in worked},
        )

    def hours_on(self, person: int, day: date) -> Hours:
        """When somebody is at work on a day, from - until, by the shop's clock; empty on a day off."""
        if day in self.holidays or self._off(None, day) or self._off(person, day):
            return ()
        return self.weeks.get(person, USUAL).get(day.weekday(), ())

    def is_open(self, day: date) -> bool:
        """Whether anybody works on a day."""
        return any(self.hours_on(person.pk, day) for person in self.people)

    def _off(self, person: int | None, day: date) -> bool:
        return any(first <= day <= last for first, last in self.off.get(person, ()))


def hands() -> QuerySet[CrewMember]:
    """Whoever works on boats."""
    return CrewMember.objects.filter(is_active=True, at_bench=True).exclude(role=Role.LOOK).order_by("pk")


def hours_of(row: WorkDay) -> Hours:
    """The hours of a row, its break taken out."""
    if row.starts is None or row.ends is None:
        return ()
    if row.break_starts is None or row.break_ends is None:
        return ((row.starts, row.ends),)
    parts = ((row.starts, row.break_starts), (row.break_ends, row.ends))
    return tuple((since, until) for since, until in parts if since < until)


def days_from(first: date, count: int) -> tuple[date, ...]:
    """So many days in a row."""
    return tuple(first + timedelta(days=n) for n in range(count))

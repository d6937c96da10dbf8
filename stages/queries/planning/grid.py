"""Moments and slots: where the planner's grid lies in the shop's days."""

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from stages.planner.timegrid import SLOT_MIN, SLOTS_AN_HOUR

SLOT = timedelta(minutes=SLOT_MIN)
FARTHEST = timedelta(days=100 * 365)  # nobody promises farther, and the calendar has an end


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The grid of one problem: the instant of slot zero, and the shop's time zone.

    Nights are slots too, and clocks that change move no coat: slots are counted in UTC, hours of work by the clock.
    """

    start: datetime
    zone_info: tzinfo

    @classmethod
    def at(cls, now: datetime, zone_info: tzinfo) -> "Grid":
        """The grid whose slot zero holds a moment."""
        utc = now.astimezone(UTC)
        return cls(
            start=utc.replace(minute=utc.minute // SLOT_MIN * SLOT_MIN, second=0, microsecond=0), zone_info=zone_info
        )

    @property
    def today(self) -> date:
        """The shop's day at slot zero."""
        return self.start.astimezone(self.zone_info).date()

    def before(self, at: datetime) -> int:
        """The slot in which a moment lies."""
        return math.floor((at - self.start) / SLOT)

    def after(self, at: datetime) -> int:
        """The first slot that begins no earlier than a moment."""
        return math.ceil((at - self.start) / SLOT)

    def clock(self, day: date, at: time) -> datetime:
        """A time of a day by the shop's clock."""
        return datetime.combine(day, at, self.zone_info)

    def moment(self, slot: int) -> datetime:
        """When a slot begins, by the shop's clock."""
        return (self.start + slot * SLOT).astimezone(self.zone_info)

    def end_of(self, day: date) -> int:
        """The slot with which the day after begins; of a day beyond all reckoning, of the last within it."""
        return self.after(self.clock(min(day, self.today + FARTHEST) + timedelta(days=1), time()))

    def span(self, day: date, since: time, until: time) -> tuple[int, int] | None:
        """The whole slots between two times of a day, from now on; None where there are none."""
        first, last = max(0, self.after(self.clock(day, since))), self.before(self.clock(day, until))
        return (first, last) if first < last else None


def slots_of(hours: float) -> int:
    """Whole slots that hold so many hours."""
    return math.ceil(round(hours * SLOTS_AN_HOUR, 6))


def day_of(start: datetime, slot: float, zone_info: tzinfo) -> date:
    """The shop's day on which something is over that is ready at a slot; what ends at midnight is that day's."""
    return (start + slot * SLOT - timedelta(seconds=1)).astimezone(zone_info).date()

"""The time that a picture shows: where a moment stands, and the marks along its foot."""

import math
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

from stages.engine.errors import EngineError

WIDTH = 1600  # units of path data across a picture
HOUR_S = 3600.0
NARROW, WIDE = 5, 12  # most marks with words on a phone and on a desk
EDGE, NARROW_EDGE = 0.94, 0.86  # a mark further right has no room for its words


@dataclass(slots=True, frozen=True, kw_only=True)
class Tick:
    """A mark: its moment, its place in per cent, whether it names an hour, and where there is room for its words."""

    at: datetime
    x: str
    hour: bool
    words: bool
    wide_only: bool


@dataclass(slots=True, frozen=True)
class Timeline:
    """The stretch of time across a picture, in seconds since 1970 UTC.

    Raises
    ------
    EngineError
        The end does not come after the start.
    """

    start_s: float
    end_s: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.start_s) and math.isfinite(self.end_s) and self.start_s < self.end_s):
            raise EngineError("end", "A picture's time ends after it begins.")

    @property
    def length_s(self) -> float:
        """Give how long it is, s."""
        return self.end_s - self.start_s

    def holds(self, moment_s: float) -> bool:
        """Say whether a moment lies in the picture."""
        return self.start_s <= moment_s <= self.end_s

    def share(self, moment_s: float) -> float:
        """Give where a moment lies, 0 to 1, held at the edges."""
        return min(1.0, max(0.0, (moment_s - self.start_s) / self.length_s))

    def pct(self, moment_s: float) -> str:
        """Give where a moment lies, as per cent of the width."""
        return percent(self.share(moment_s))

    def width(self, start_s: float, end_s: float) -> str:
        """Give how wide a stretch is, as per cent of the width."""
        return percent(self.share(end_s) - self.share(start_s))

    def x(self, moment_s: float) -> int:
        """Give where a moment lies, in units of path data."""
        return round(WIDTH * self.share(moment_s))

    def ticks(self, zone: tzinfo) -> tuple[Tick, ...]:
        """Give the marks along the foot: hours, days or weeks of the zone's own clock, whatever is legible."""
        moments, hourly = self._moments(zone)
        inside = [at for at in moments if self.start_s < at.timestamp() < self.end_s]
        every_wide, every_narrow = (max(1, math.ceil(len(inside) / most)) for most in (WIDE, NARROW))
        return tuple(
            Tick(
                at=at,
                x=self.pct(at.timestamp()),
                hour=hourly and at.hour != 0,
                words=number % every_wide == 0 and self.share(at.timestamp()) < EDGE,
                wide_only=number % every_narrow != 0 or self.share(at.timestamp()) >= NARROW_EDGE,
            )
            for number, at in enumerate(inside)
        )

    def _moments(self, zone: tzinfo) -> tuple[list[datetime], bool]:
        first = datetime.fromtimestamp(self.start_s, zone).date()
        days = math.ceil(self.length_s / (24 * HOUR_S)) + 1
        if self.length_s <= 48 * HOUR_S:
            step = 3 if self.length_s <= 18 * HOUR_S else 6
            return [_at(first, n, hour, zone) for n in range(days) for hour in range(0, 24, step)], True
        if self.length_s <= 2 * WIDE * 24 * HOUR_S:
            return [_at(first, n, 0, zone) for n in range(days)], False
        monday = first - timedelta(days=first.weekday())
        return [_at(monday, 7 * n, 0, zone) for n in range(days // 7 + 2)], False


def percent(share: float) -> str:
    """Give a share of the width as an attribute wants it, alike in every language."""
    return f"{100.0 * share:.2f}".rstrip("0").rstrip(".") + "%"


def _at(first: date, days: int, hour: int, zone: tzinfo) -> datetime:
    return datetime.combine(first + timedelta(days=days), time(hour), zone)

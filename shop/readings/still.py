"""A sensor that stands still, or one half of it, as no air does for so long.

It is the persistence test of automatic weather stations (Guide to the Global Observing System, WMO-No. 488, appendix
VI.2; named from memory). A closed, heated room may stand still from evening to morning, so that a sensor alone is given
a whole day and more; it is caught sooner by what moved meanwhile. The limits are our own: common practice, no published
source.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime

from shop.readings.seen import Around, Moved, Seen, Span

STILL_C, STILL_PCT = 0.25, 1.0  # within the resolution of a cheap sensor
DUST = 1e-6  # of binary fractions
HOUR_S = 3600.0
GAP_S = 6 * HOUR_S  # nobody knows what the air did meanwhile
FEWEST = 6
SOON_H, CLOSED_H, DAY_H, LONG_H = 6.0, 16.0, 24.0, 48.0  # 16: longer than a shop is closed overnight
UNLIKE_AIR_H = 12.0
MOST_S = (LONG_H + GAP_S / HOUR_S) * HOUR_S
MOVED_C, MOVED_PCT = 2.0, 10.0
AIR_LIVES_C, RH_LIVES_PCT = 3.0, 15.0
SATURATED_PCT = 99.0  # fog may stand for a night, while it grows colder


@dataclass(slots=True, kw_only=True)
class _Channel:
    """The stretch of readings, up to the last, that lie within so much of one another."""

    within: float
    values: list[float] = field(default_factory=list)
    start: int = 0
    low: float = 0.0
    high: float = 0.0

    def see(self, value: float, *, gap: bool) -> None:
        self.values.append(value)
        low, high = min(self.low, value), max(self.high, value)
        if gap or len(self.values) == 1:
            self.start, self.low, self.high = len(self.values) - 1, value, value
        elif high - low <= self.within + DUST:
            self.low, self.high = low, high
        else:
            self._shrink(value)

    def _shrink(self, value: float) -> None:
        place, self.low, self.high = len(self.values) - 1, value, value
        while place > self.start:
            low, high = min(self.low, self.values[place - 1]), max(self.high, self.values[place - 1])
            if high - low > self.within + DUST:
                break
            place, self.low, self.high = place - 1, low, high
        self.start = place

    def range(self, since: int) -> float:
        part = self.values[since:]
        return spread(min(part), max(part))


def spread(low: float, high: float) -> float:
    """How far two values lie apart, without the dust of binary fractions."""
    return round(high - low, 6)


@dataclass(slots=True, kw_only=True)
class Stillness:
    """Follows the tame readings of a sensor.

    ``around`` is asked for whole hours alone, so that the answer does not hang on how many readings came at once.
    """

    around: Around
    at_s: list[float] = field(default_factory=list)
    air: _Channel = field(default_factory=lambda: _Channel(within=STILL_C))
    rh: _Channel = field(default_factory=lambda: _Channel(within=STILL_PCT))
    _taken_in: int | None = None  # the last reading that was taken in though it stood still
    _oldest: int = 0
    _moved: dict[tuple[float, float], Moved] = field(default_factory=dict)
    _before: tuple[Span | None] | None = None

    def see(self, reading: Seen, *, taken_in: bool) -> None:
        """Take in one more reading."""
        gap = bool(self.at_s) and reading.at_s - self.at_s[-1] > GAP_S
        self.at_s.append(reading.at_s)
        self.air.see(reading.air_c, gap=gap)
        self.rh.see(reading.rh_pct, gap=gap)
        if taken_in:
            self._taken_in = len(self.at_s) - 1
        while self.at_s[self._oldest] < reading.at_s - MOST_S:
            self._oldest += 1

    def forget(self) -> None:
        """Begin anew."""
        self.at_s.clear()
        self.air, self.rh = _Channel(within=STILL_C), _Channel(within=STILL_PCT)
        self._taken_in, self._oldest = None, 0

    def since(self) -> int | None:
        """Give the place from which on the sensor has been stuck, now; the first of a stretch was a true reading."""
        found = [
            begin
            for channel, unlike_air in ((self.air, self._air_unlike_air), (self.rh, self._rh_unlike_air))
            if (begin := self._begin(channel)) is not None
            and unlike_air(begin, self._hours(begin))
            and not self._believed(channel)
        ]
        return min(found, default=None)

    def _begin(self, channel: _Channel) -> int | None:
        begin = max(channel.start, self._oldest)
        enough = len(self.at_s) - begin >= FEWEST and self._hours(begin) >= SOON_H
        return begin if enough else None

    def _hours(self, begin: int) -> float:
        return (self.at_s[-1] - self.at_s[begin]) / HOUR_S

    def _air_unlike_air(self, begin: int, hours: float) -> bool:
        both = self._hours(max(begin, self.rh.start))
        if hours >= LONG_H or both >= DAY_H:
            return True
        if hours >= CLOSED_H and self.rh.range(begin) >= RH_LIVES_PCT:
            return True
        moved = self._elsewhere(begin)
        if both >= CLOSED_H and (moved.anywhere_c >= MOVED_C or moved.anywhere_pct >= MOVED_PCT):
            return True
        return moved.here_c >= MOVED_C

    def _rh_unlike_air(self, begin: int, hours: float) -> bool:
        if hours >= LONG_H:
            return True
        if self.rh.low >= SATURATED_PCT:
            return hours >= DAY_H and self.air.range(begin) >= AIR_LIVES_C
        if hours >= UNLIKE_AIR_H and self.air.range(begin) >= AIR_LIVES_C:
            return True
        return self._elsewhere(begin).here_pct >= MOVED_PCT

    def _elsewhere(self, begin: int) -> Moved:
        since, until = -(-self.at_s[begin] // HOUR_S), self.at_s[-1] // HOUR_S
        if (since, until) not in self._moved:
            moments = (datetime.fromtimestamp(hour * HOUR_S, UTC) for hour in (since, until))
            self._moved[since, until] = self.around.moved(*moments)
        return self._moved[since, until]

    def _believed(self, channel: _Channel) -> bool:
        """Whether somebody took a reading in from which the channel has not moved since."""
        if self._taken_in is not None:
            return not channel.range(self._taken_in) > channel.within
        if self._before is None:
            self._before = (self.around.since_taken_in(),)
        span = self._before[0]
        if span is None:
            return False
        low, high = (span.low_c, span.high_c) if channel is self.air else (span.low_pct, span.high_pct)
        part = channel.values
        return not spread(min(low, *part), max(high, *part)) > channel.within

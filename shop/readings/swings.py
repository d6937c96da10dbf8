"""A sensor that swings to and fro as no air does: a loose contact, a wet plug, a cell at its end.

A door or a heater moves the air fast one way and slowly back. What counts is therefore how far a reading stands out
from both of its neighbours, to the same side. The limits are our own: common practice, no published source.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field

from shop.readings.seen import Seen

WINDOW_S = 2 * 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """How far readings may stand out: below ``least`` it is noise, one counts for ``most``, all together ``total``."""

    least: float
    most: float
    total: float


AIR_C = Limit(least=3.0, most=15.0, total=40.0)
RH_PCT = Limit(least=12.0, most=50.0, total=130.0)


@dataclass(slots=True, kw_only=True)
class _Channel:
    limit: Limit
    values: list[float] = field(default_factory=list)
    at_s: list[float] = field(default_factory=list)  # of the readings that stand out
    where: list[int] = field(default_factory=list)
    sums: list[float] = field(default_factory=lambda: [0.0])

    def see(self, at_s: Sequence[float], value: float) -> int | None:
        """Take in a value; where they stand out too much, give the place of the first that does in the window."""
        self.values.append(value)
        if len(self.values) > 2:
            self._weigh(at_s)
        begin = bisect_right(self.at_s, at_s[-1] - WINDOW_S)
        over = self.sums[-1] - self.sums[begin] > self.limit.total
        return self.where[begin] if over else None

    def _weigh(self, at_s: Sequence[float]) -> None:
        before, it, after = self.values[-3:]
        up, down = it - before, it - after
        out = min(abs(up), abs(down)) if up * down > 0.0 else 0.0
        if out >= self.limit.least:
            self.at_s.append(at_s[-2])
            self.where.append(len(self.values) - 2)
            self.sums.append(self.sums[-1] + min(out, self.limit.most))


@dataclass(slots=True)
class Swings:
    """Follows a sensor from reading to reading."""

    _at_s: list[float] = field(default_factory=list)
    _air: _Channel = field(default_factory=lambda: _Channel(limit=AIR_C))
    _rh: _Channel = field(default_factory=lambda: _Channel(limit=RH_PCT))

    def since(self, reading: Seen) -> int | None:
        """Take in a reading; where the sensor is restless now, give the place of the reading with which it began."""
        self._at_s.append(reading.at_s)
        found = [c.see(self._at_s, value) for c, value in ((self._air, reading.air_c), (self._rh, reading.rh_pct))]
        return min((place for place in found if place is not None), default=None)

"""The drying of a film summed over a whole log once, so that any question after it is a search and one cubic.

Every stretch between two readings is cut where the rate breaks or bends, and where the temperature changes much. On
each piece the rate is the parabola through its ends and its middle, so a whole piece is Simpson's rule and a part of it
is a cubic; the same cubic is solved for the moment at which an age is reached.
"""

from dataclasses import dataclass

import numpy as np

from stages.engine.air import FloatArray
from stages.engine.airlog import HOUR_S, AirLog
from stages.engine.cure import active_rate, humidity_kinks_pct, rate, temperature_kinks_c
from stages.engine.label import Label

# A parabola over such a piece is within about 1e-4 of the rate. Humidity comes in straight: no limit is needed.
STEEPEST_PIECE_C = 3.0


@dataclass(slots=True, frozen=True, kw_only=True, eq=False)
class AgeCurve:
    """Age over time for one way of drying in one log.

    Parameters
    ----------
    seconds : array, shape (m,)
        Ends of the pieces, seconds since 1970 UTC.
    ages_h : array, shape (m,)
        Age, hours at the reference, gathered since the first of them.
    begin, middle, end : array, shape (m - 1,)
        Rate at the beginning, middle and end of each piece.
    rate_before, rate_after : float
        Rate held before the first and after the last moment.
    """

    seconds: FloatArray
    ages_h: FloatArray
    begin: FloatArray
    middle: FloatArray
    end: FloatArray
    rate_before: float
    rate_after: float

    def age_h(self, moment_s: float) -> float:
        """Give the age at a moment, counted from the first moment of the log (negative before it), in O(log n)."""
        after = int(self.seconds.searchsorted(moment_s, "right"))
        if after == 0:
            return (moment_s - float(self.seconds[0])) / HOUR_S * self.rate_before
        start = float(self.seconds[after - 1])
        if after == len(self.seconds):
            return float(self.ages_h[-1]) + (moment_s - start) / HOUR_S * self.rate_after
        length_s = float(self.seconds[after]) - start
        return float(self.ages_h[after - 1]) + self._part_h(after - 1, (moment_s - start) / length_s, length_s)

    def moment_s(self, age_h: float) -> float | None:
        """Give the first moment at which an age is reached, None when it never is, in O(log n)."""
        after = int(self.ages_h.searchsorted(age_h, "left"))
        if after == 0:
            return _held(float(self.seconds[0]), age_h, self.rate_before)
        if after == len(self.seconds):
            return _held(float(self.seconds[-1]), age_h - float(self.ages_h[-1]), self.rate_after)
        start = float(self.seconds[after - 1])
        length_s = float(self.seconds[after]) - start
        return start + length_s * self._share_at(after - 1, age_h - float(self.ages_h[after - 1]), length_s)

    def _part_h(self, piece: int, share: float, length_s: float) -> float:
        begin, bend, curve = self._parabola(piece)
        return length_s / HOUR_S * share * (begin + share * (bend / 2.0 + share * curve / 3.0))

    def _parabola(self, piece: int) -> tuple[float, float, float]:
        begin, middle, end = float(self.begin[piece]), float(self.middle[piece]), float(self.end[piece])
        return begin, 4.0 * middle - 3.0 * begin - end, 2.0 * (begin + end) - 4.0 * middle

    def _share_at(self, piece: int, wanted_h: float, length_s: float) -> float:
        begin, bend, curve = self._parabola(piece)
        wanted = wanted_h * HOUR_S / length_s
        low, high, share = 0.0, 1.0, 0.5
        for _ in range(60):
            error = share * (begin + share * (bend / 2.0 + share * curve / 3.0)) - wanted
            low, high = (low, share) if error > 0.0 else (share, high)
            slope = begin + share * (bend + share * curve)
            # Newton's step, or halving where that would leave the bracket.
            step = share - error / slope if slope > 0.0 else -1.0
            new = step if low <= step <= high else (low + high) / 2.0
            if abs(new - share) < 1e-13:
                return new
            share = new
        return share


def _held(start_s: float, missing_h: float, speed: float) -> float | None:
    if missing_h == 0.0:
        return start_s
    return start_s + missing_h / speed * HOUR_S if speed > 0.0 else None


def curve_of(label: Label, log: AirLog) -> AgeCurve:
    """Give the age curve of a label in a log; the log keeps it for every label that dries the same way."""
    return log.keep(label.cure_key, lambda: _make(label, log))


def _make(label: Label, log: AirLog) -> AgeCurve:
    if len(log.seconds) == 0:
        return _steady(rate(label, *log.assumed))
    if log.base is None:
        return _summed(label, log.seconds, log.air_c, log.rh_pct)
    # The measured part is the longer by far, and shared by every projection of it.
    last = log.measured - 1
    ahead = _summed(label, log.seconds[last:], log.air_c[last:], log.rh_pct[last:])
    return _joined(curve_of(label, log.base), ahead)


def _steady(speed: float) -> AgeCurve:
    return AgeCurve(
        seconds=np.zeros(1),
        ages_h=np.zeros(1),
        begin=np.empty(0),
        middle=np.empty(0),
        end=np.empty(0),
        rate_before=float(speed),
        rate_after=float(speed),
    )


def _joined(first: AgeCurve, second: AgeCurve) -> AgeCurve:
    return AgeCurve(
        seconds=np.concatenate((first.seconds, second.seconds[1:])),
        ages_h=np.concatenate((first.ages_h, first.ages_h[-1] + second.ages_h[1:])),
        begin=np.concatenate((first.begin, second.begin)),
        middle=np.concatenate((first.middle, second.middle)),
        end=np.concatenate((first.end, second.end)),
        rate_before=first.rate_before,
        rate_after=second.rate_after,
    )


def _summed(label: Label, seconds: FloatArray, air_c: FloatArray, rh_pct: FloatArray) -> AgeCurve:
    seconds, air_c, rh_pct = _cut(label, seconds, air_c, rh_pct)
    speed = active_rate(label, air_c, rh_pct)
    middle_c = (air_c[:-1] + air_c[1:]) / 2.0
    # One piece lies wholly on one side of the lowest temperature, so its middle says whether the film stands still.
    awake = middle_c >= label.lowest_c
    middle = active_rate(label, middle_c, (rh_pct[:-1] + rh_pct[1:]) / 2.0) * awake
    begin, end = speed[:-1] * awake, speed[1:] * awake
    gained_h = np.diff(seconds) * (begin + 4.0 * middle + end) / (6.0 * HOUR_S)
    return AgeCurve(
        seconds=seconds,
        ages_h=np.concatenate(([0.0], np.cumsum(gained_h))),
        begin=begin,
        middle=middle,
        end=end,
        rate_before=float(rate(label, float(air_c[0]), float(rh_pct[0]))),
        rate_after=float(rate(label, float(air_c[-1]), float(rh_pct[-1]))),
    )


def _cut(label: Label, *columns: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Give seconds, air and humidity at the ends of all pieces."""
    seconds, air_c, rh_pct = columns
    cuts = np.unique(
        np.concatenate(
            (
                *(_crossings(air_c, kink) for kink in temperature_kinks_c(label)),
                *(_crossings(rh_pct, kink) for kink in humidity_kinks_pct(label)),
                *_steps(air_c),
            )
        )
    )
    if len(cuts) == 0:
        return seconds, air_c, rh_pct
    # A cut is a fractional index into the readings, along which time, air and humidity all run straight.
    before = np.minimum(cuts.astype(np.int64), len(seconds) - 2)
    cut = [
        np.insert(column, before + 1, column[before] + (cuts - before) * (column[before + 1] - column[before]))
        for column in columns
    ]
    return cut[0], cut[1], cut[2]


def _crossings(values: FloatArray, kink: float) -> FloatArray:
    above = values > kink
    stretch = np.flatnonzero(above[:-1] != above[1:])
    return stretch + (kink - values[stretch]) / (values[stretch + 1] - values[stretch])


def _steps(air_c: FloatArray) -> list[FloatArray]:
    change = np.abs(np.diff(air_c)) / STEEPEST_PIECE_C
    steep = np.flatnonzero(change > 1.0)
    pieces = np.ceil(change[steep])
    return [(steep + piece / pieces)[pieces > piece] for piece in range(1, int(pieces.max(initial=0.0)))]

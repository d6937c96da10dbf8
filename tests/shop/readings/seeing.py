"""Logs of one sensor for the tests of the watch."""

import math
import random
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime, timedelta

from shop.readings.jumps import Jumps
from shop.readings.seen import Around, Moved, Seen, Span, Wrong
from shop.readings.watch import watch

START = datetime(2026, 6, 1, tzinfo=UTC)
HOME = [(-10.0 * n, 20.0 + n % 2 / 2, 50.0 + n % 2 * 1.5) for n in range(10, 0, -1)]  # an hour and a half, alive

Read = tuple[float, float, float]  # minutes after the start, °C, %


class Elsewhere(Around):
    """What other instruments saw, made up."""

    def __init__(self, moved: Moved | None = None, taken_in: Span | None = None) -> None:
        self._moved, self._taken_in = moved or Moved(), taken_in
        self.asked: list[tuple[datetime, datetime]] = []

    def moved(self, since: datetime, until: datetime) -> Moved:
        self.asked.append((since, until))
        return self._moved

    def since_taken_in(self) -> Span | None:
        return self._taken_in


NOTHING_MOVED = Moved()
MOVED_HERE = Moved(here_c=2.0, here_pct=10.0, anywhere_c=2.0, anywhere_pct=10.0)
MOVED_ELSEWHERE = Moved(anywhere_c=9.0, anywhere_pct=40.0)


def seen(reads: Iterable[Read]) -> list[Seen]:
    return [Seen((START + timedelta(minutes=m)).timestamp(), air_c, rh_pct) for m, air_c, rh_pct in reads]


def found(reads: Sequence[Read], moved: Moved = NOTHING_MOVED) -> list[Wrong | None]:
    """What is wrong with a new sensor's whole log."""
    return watch(seen(reads), begin=0, jumps=Jumps(), around=Elsewhere(moved))


def found_at_home(reads: Sequence[Read], moved: Moved = NOTHING_MOVED) -> list[Wrong | None]:
    """What is wrong with readings after an hour and more of good ones."""
    return found([*HOME, *reads], moved)[len(HOME) :]


def log(
    hours: float,
    air_c: Callable[[float], float],
    rh_pct: Callable[[float], float],
    *,
    every_min: float = 5.0,
) -> list[Read]:
    """A log by functions of the hour."""
    count = int(hours * 60 / every_min) + 1
    hour = [every_min * n / 60 for n in range(count)]
    return [(60 * h, round(air_c(h), 1), round(rh_pct(h), 0)) for h in hour]


def a_day(mean: float, swing: float) -> Callable[[float], float]:
    """A daily round, coldest at four."""
    return lambda hour: mean - swing * math.cos((hour - 4) / 24 * 2 * math.pi)


def noisy(value: Callable[[float], float], by: float, seed: int = 1) -> Callable[[float], float]:
    dice = random.Random(seed)
    return lambda hour: value(hour) + dice.uniform(-by, by)


def first_hour(reads: Sequence[Read], wrong: Sequence[Wrong | None], flag: Wrong) -> float | None:
    """When the log is first flagged, as it came in: the hour of the last reading of the shortest such beginning."""
    low, high = 0, len(reads)
    if flag not in wrong:
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if flag in found(reads[: middle + 1]) else (middle + 1, high)
    return reads[low][0] / 60

"""What looks wrong with a sensor's readings: one that jumps as no air does, one that stands still while others move.

The tests are those of automatic weather stations (step test and persistence test, Guide to the Global Observing System,
WMO-No. 488, appendix VI.2; named from memory). The limits are our own and much wider, since a shop has doors, heaters
and a steam box: common practice, no published source.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from shop.readings.sample import Sample

JUMP_C, JUMP_C_A_MINUTE = 10.0, 1.0
JUMP_PCT, JUMP_PCT_A_MINUTE = 35.0, 5.0
STILL_WHILE_OTHERS_MOVE = timedelta(hours=6)
STILL_ALONE = timedelta(hours=24)
FEWEST_STILL = 6
OTHERS_MOVE_C, OTHERS_MOVE_PCT = 2.0, 10.0
SILENT_AFTER = 3  # times of its own interval

OthersMoved = Callable[[datetime, datetime], bool]


class Wrong(StrEnum):
    """What looks wrong with a reading."""

    STUCK = "stuck"
    WILD = "wild"


class Trust(StrEnum):
    """What is known of a run of equal readings."""

    OPEN = "open"
    STUCK = "stuck"
    BELIEVED = "believed"  # somebody looked at it and took it in


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Readings in a row that say the same.

    Parameters
    ----------
    values : tuple
        What they say.
    since : datetime
        The moment of the first.
    count : int
        How many they are.
    trust : Trust
        What is known of it.
    """

    values: tuple[float, float, float | None]
    since: datetime
    count: int
    trust: Trust = Trust.OPEN


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What a sensor read before: its last reading that is believed, and the run of equal ones that it is in.

    ``strayed`` says that it has read wildly since, and nobody took that in.
    """

    last: Sample | None = None
    run: Run | None = None
    strayed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What the watch found.

    Parameters
    ----------
    wrong : tuple of Wrong or None
        For each of the readings.
    stuck_since : datetime or None
        Readings after this moment, from before those that were watched, turn out to be stuck too.
    """

    wrong: tuple[Wrong | None, ...]
    stuck_since: datetime | None


def watch(samples: Iterable[Sample], past: Past, others_moved: OthersMoved) -> Watched:
    """Look at readings of one sensor in the order of their moments.

    Parameters
    ----------
    samples : iterable of Sample
        The readings, rising in time.
    past : Past
        What came before them.
    others_moved : callable
        Whether the air elsewhere moved between two moments; asked at most once for each hour of a run.

    Returns
    -------
    Watched
        What is wrong. A sensor that jumped is believed again where it comes back to where it was, or once somebody took
        its jump in: time alone makes none true. A run somebody took in is believed until the value changes.
    """
    watcher = _Watcher(last=past.last, run=past.run, strayed=past.strayed, others_moved=others_moved, old=past.run)
    found: list[Wrong | None] = []
    for sample in samples:
        found.append(watcher.look(sample, found))
    return Watched(wrong=tuple(found), stuck_since=watcher.stuck_since)


def is_wild(sample: Sample, last: Sample | None) -> bool:
    """Whether air could not have come here from the last believed reading in the time between."""
    if last is None:
        return False
    return _is_far(sample, last, (sample.at - last.at).total_seconds() / 60)


def _is_far(sample: Sample, last: Sample, minutes: float) -> bool:
    too_hot = abs(sample.air_c - last.air_c) > JUMP_C + JUMP_C_A_MINUTE * minutes
    return too_hot or abs(sample.rh_pct - last.rh_pct) > JUMP_PCT + JUMP_PCT_A_MINUTE * minutes


def is_silent(last_heard: datetime | None, added: datetime, every: timedelta, now: datetime) -> bool:
    """Whether a sensor should have been heard by now."""
    return now - (last_heard or added) > SILENT_AFTER * every


@dataclass(slots=True, kw_only=True)
class _Watcher:
    last: Sample | None
    run: Run | None
    strayed: bool
    old: Run | None  # the run that began before the readings that are watched
    others_moved: OthersMoved
    stuck_since: datetime | None = None
    _start: int = 0  # where in the watched readings the run begins
    _asked_h: int = 0

    def look(self, sample: Sample, found: list[Wrong | None]) -> Wrong | None:
        """Say what is wrong with one more reading, and with those of its run before it."""
        if self._astray(sample):
            self.strayed = True
            return Wrong.WILD
        self.strayed = False
        if self.run is None or self.run.values != sample.values:
            self.run = Run(values=sample.values, since=sample.at, count=1)
            self.old, self._start, self._asked_h = None, len(found), 0
        else:
            self.run = replace(self.run, count=self.run.count + 1)
        if self.run.trust is Trust.OPEN and self._stands_still(self.run, sample.at):
            self._give_up_run(self.run, found)
        if self.run.trust is Trust.STUCK:
            return Wrong.STUCK
        self.last = sample
        return None

    def _astray(self, sample: Sample) -> bool:
        if self.strayed and self.last is not None:
            return _is_far(sample, self.last, minutes=0.0)
        return is_wild(sample, self.last)

    def _stands_still(self, run: Run, until: datetime) -> bool:
        still = until - run.since
        if run.count < FEWEST_STILL or still < STILL_WHILE_OTHERS_MOVE:
            return False
        if still >= STILL_ALONE:
            return True
        hours = int(still / timedelta(hours=1))
        if hours <= self._asked_h:
            return False
        self._asked_h = hours
        return self.others_moved(run.since, until)

    def _give_up_run(self, run: Run, found: list[Wrong | None]) -> None:
        self.run = replace(run, trust=Trust.STUCK)
        if self.old is not None:
            self.stuck_since = run.since
        begin = self._start if self.old is not None else self._start + 1  # the first of a run was a true reading
        for index in range(begin, len(found)):
            found[index] = found[index] or Wrong.STUCK

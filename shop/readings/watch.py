"""What looks wrong with a sensor's readings: it jumps, it swings, it stands still, or it is silent.

The answer hangs on the readings and their moments alone, not on how they came: a sensor's whole log, looked at from its
beginning, is found the same as the same readings one by one, in batches, or out of order.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from shop.readings.jumps import Jumps, Step
from shop.readings.seen import Around, Seen, Wrong
from shop.readings.still import MOST_S, Stillness
from shop.readings.swings import Swings

LOOK_BACK = timedelta(seconds=MOST_S)  # beyond it, no reading changes what is found of another that is tame
SILENT_AFTER = 3  # times of its own interval


def is_silent(last_heard: datetime | None, added: datetime, every: timedelta, now: datetime) -> bool:
    """Whether a sensor should have been heard by now."""
    return now - (last_heard or added) > SILENT_AFTER * every


def watch(readings: Sequence[Seen], *, begin: int, jumps: Jumps, around: Around) -> list[Wrong | None]:
    """Look at readings of one sensor in the order of their moments.

    Parameters
    ----------
    readings : sequence of Seen
        The readings, rising in time: those that are to be looked at, after as many as `LOOK_BACK` holds.
    begin : int
        The place of the first that is looked at; what was found of those before it stands, and may only grow.
    jumps : Jumps
        Where the sensor was before the first of the readings.
    around : Around
        What may be asked beyond them.

    Returns
    -------
    list of Wrong or None
        What is wrong with each. A reading on which somebody decided keeps what it was decided on.
    """
    watcher = _Watcher(readings=readings, begin=begin, jumps=jumps, still=Stillness(around=around))
    for place in range(len(readings)):
        watcher.look(place)
    return watcher.found()


@dataclass(slots=True, kw_only=True)
class _Watcher:
    readings: Sequence[Seen]
    begin: int
    jumps: Jumps
    still: Stillness
    swings: Swings = field(default_factory=Swings)
    _wild: set[int] = field(default_factory=set)
    _restless: set[int] = field(default_factory=set)
    _stuck: set[int] = field(default_factory=set)
    _tame: list[int] = field(default_factory=list)  # places of the readings that `still` has seen
    _stuck_since: int | None = None
    _told: tuple[int, int] = (0, 0)  # what of `_tame` is in `_stuck` already
    _swinging_believed: bool = False

    def look(self, place: int) -> None:
        """Look at one more reading."""
        reading = self.readings[place]
        self._look_at_swings(place, reading)
        step = self._step(place, reading)
        if step is Step.WILD:
            return
        if step is Step.MOVED_HOME:
            self._move_home(place)
        self._be_tame(place)
        self._look_at_stillness(place)

    def _be_tame(self, place: int) -> None:
        reading = self.readings[place]
        self.still.see(reading, taken_in=reading.taken_in(Wrong.STUCK))
        self._tame.append(place)

    def _move_home(self, place: int) -> None:
        rivals = self.jumps.rivals[:-1]
        self._wild = set(range(place)).difference(rivals)
        self.still.forget()
        self._tame.clear()
        self._told = (0, 0)
        for rival in rivals:
            self._be_tame(rival)

    def _step(self, place: int, reading: Seen) -> Step:
        if place < self.begin:
            self.jumps.replay(reading)
            return Step.WILD if reading.astray else Step.TAME
        stuck_since = self._stuck_since
        base = self.jumps.believed if stuck_since is None else self.readings[self._tame[stuck_since]]
        step = self.jumps.look(place, reading, base)
        if step is Step.WILD:
            self._wild.add(place)
        return step

    def _look_at_swings(self, place: int, reading: Seen) -> None:
        since = self.swings.since(reading)
        if reading.taken_in(Wrong.RESTLESS):
            self._swinging_believed = True
        elif since is None:
            self._swinging_believed = False
        elif place == self.begin - 1:  # it swings, and was not flagged: somebody took that in before
            self._swinging_believed = reading.flag not in (Wrong.RESTLESS, Wrong.WILD)
        if since is not None and place >= self.begin and not self._swinging_believed:
            self._restless.update(range(since, place + 1))

    def _look_at_stillness(self, place: int) -> None:
        if place < self.begin - 1:
            return
        self._stuck_since = self.still.since()
        if self._stuck_since is None:
            self._told = (0, 0)
            return
        since, until = self._told
        fresh = max(self._stuck_since + 1, until) if since <= self._stuck_since else self._stuck_since + 1
        self._stuck.update(self._tame[fresh:])
        self._told = (self._stuck_since, len(self._tame))

    def found(self) -> list[Wrong | None]:
        """What is wrong with each reading, the worst first."""
        return [self._worst(place, reading) for place, reading in enumerate(self.readings)]

    def _worst(self, place: int, reading: Seen) -> Wrong | None:
        if reading.decided:
            return reading.flag
        stands = reading.flag if place < self.begin else None
        for wrong, places in ((Wrong.WILD, self._wild), (Wrong.RESTLESS, self._restless), (Wrong.STUCK, self._stuck)):
            if place in places or stands is wrong:
                return wrong
        return None

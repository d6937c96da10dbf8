"""What a logger's clock showed, turned into moments, over both changes of the clocks."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, tzinfo

FAR = timedelta(hours=2)


@dataclass(slots=True, kw_only=True)
class WallClock:
    """Turns the time stamps of one file into moments, row after row.

    The hour that comes twice in autumn is told apart by the order of the rows: its first pass is in summer time, and
    where the stamps step back, or come again with other values, the second pass has begun. A stamp from the hour that
    is skipped in spring is read as if the clock had not been put forward yet. Both are counted.

    Parameters
    ----------
    zone : tzinfo
        The zone that the logger's clock is set to.
    """

    zone: tzinfo
    twice: int = 0
    skipped: int = 0
    _last: tuple[datetime, object, datetime] | None = field(default=None)
    _rising: bool = True

    def moment(self, stamp: datetime, values: object) -> datetime:
        """Give the moment of a stamp in UTC.

        Parameters
        ----------
        stamp : datetime
            What the file says; one that is aware says it all.
        values : object
            What was read, to know a row that merely stands there twice.
        """
        if stamp.tzinfo is not None:
            return stamp.astimezone(UTC)
        early, late = (stamp.replace(tzinfo=self.zone, fold=fold) for fold in (0, 1))
        before, after = early.utcoffset(), late.utcoffset()
        if before == after or before is None or after is None:
            self._see_order(stamp)
            moment = early.astimezone(UTC)
        elif before < after:
            self.skipped += 1
            moment = early.astimezone(UTC)
        else:
            self.twice += 1
            moment = self._of_two(stamp, values, early.astimezone(UTC), late.astimezone(UTC))
        self._last = (stamp, values, moment)
        return moment

    def _see_order(self, stamp: datetime) -> None:
        if self._last is not None and stamp != self._last[0]:
            self._rising = stamp > self._last[0]

    def _of_two(self, stamp: datetime, values: object, early: datetime, late: datetime) -> datetime:
        if self._last is None:
            return early if self._rising else late
        last_stamp, last_values, last = self._last
        if stamp == last_stamp and values == last_values:
            return last
        choices = (early, late) if self._rising else (late, early)
        onward = [m for m in choices if (m > last if self._rising else m < last)]
        if onward:
            return onward[0]
        return choices[1] if abs(choices[1] - last) < FAR else choices[0]

"""The quiet hours, by the shop's clock."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

A_DAY = timedelta(days=1)


def is_quiet(at: datetime, tz: ZoneInfo, quiet_from: time, quiet_until: time) -> bool:
    """Whether a moment lies in the quiet hours; the same time twice means that there are none."""
    clock = at.astimezone(tz).time()
    if quiet_from <= quiet_until:
        return quiet_from <= clock < quiet_until
    return clock >= quiet_from or clock < quiet_until


def not_before(at: datetime, tz: ZoneInfo, quiet_from: time, quiet_until: time) -> datetime:
    """The first moment from ``at`` on that lies in no quiet hour, whatever the clocks do that night.

    Parameters
    ----------
    at : datetime
        A moment, aware.
    tz : ZoneInfo
        The shop's time zone.
    quiet_from, quiet_until : time
        By its clock.

    Returns
    -------
    datetime
        In UTC. Where the hour in which the quiet ends is skipped, the moment at which the clocks jump.
    """
    at = at.astimezone(UTC)
    if not is_quiet(at, tz, quiet_from, quiet_until):
        return at
    day = at.astimezone(tz).date()
    ends = [end for n in (0, 1, 2) for end in _moments(day + n * A_DAY, quiet_until, tz)]
    return min(end for end in ends if end >= at and not is_quiet(end, tz, quiet_from, quiet_until))


def _moments(day: date, clock: time, tz: ZoneInfo) -> list[datetime]:
    """When a clock shows a time on a day: once; twice when it is set back; the jump itself when it is skipped."""
    both = [datetime.combine(day, clock, tz).replace(fold=fold).astimezone(UTC) for fold in (0, 1)]
    if both[0].astimezone(tz).time() == clock:
        return both
    return [_jump(min(both), max(both), tz)]


def _jump(before: datetime, after: datetime, tz: ZoneInfo) -> datetime:
    """The moment between two at which the clocks are set, by halves to the second."""
    offset = before.astimezone(tz).utcoffset()
    while after - before > timedelta(seconds=1):
        middle = before + (after - before) // 2
        if middle.astimezone(tz).utcoffset() == offset:
            before = middle
        else:
            after = middle
    return after.replace(microsecond=0)


def next_at(now: datetime, tz: ZoneInfo, weekday: int, clock: time) -> datetime:
    """The next time that it is a time of day on a day of the week, in UTC; 0 is Monday."""
    today = now.astimezone(tz).date()
    for n in range(9):
        day = today + n * A_DAY
        if day.weekday() == weekday:
            found = min(_moments(day, clock, tz))
            if found >= now:
                return found
    raise AssertionError("A week has every day.")

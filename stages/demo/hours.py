"""The hours in which the demo shop works: Monday to Saturday, eight to five."""

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

OPEN, CLOSE = time(8), time(17)
SUNDAY = 6


def next_open(moment: datetime, tz: ZoneInfo) -> datetime:
    """The same moment if the shop is open, else when it opens next."""
    local = moment.astimezone(tz)
    if local.time() >= CLOSE:
        local = datetime.combine(local.date() + timedelta(days=1), OPEN, tz)
    elif local.time() < OPEN:
        local = datetime.combine(local.date(), OPEN, tz)
    if local.weekday() == SUNDAY:
        local = datetime.combine(local.date() + timedelta(days=1), OPEN, tz)
    return local


def after_work(moment: datetime, hours: float, tz: ZoneInfo) -> datetime:
    """When so many hours of work that start at a moment are done, nights and Sundays left out."""
    at, left = next_open(moment, tz), timedelta(hours=hours)
    while left:
        until = datetime.combine(at.date(), CLOSE, tz)
        step = min(left, until - at)
        at, left = at + step, left - step
        if left:
            at = next_open(at, tz)
    return at

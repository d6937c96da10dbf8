"""Days free of rain, by the gauge. Pure; the table is in `shop.readings.gauge`."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from itertools import pairwise

from shop.readings.sample import Rain

# One tip of the usual gauge, which dew or a beetle may cause. Climate statistics of Britain call a day of 0.2 mm and
# more a "rain day"; from memory.
DRY_DAY_MM = 0.2
LONGEST_UNREAD = timedelta(hours=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOfRain:
    """What a gauge says of a day: its sum, and whether it was dry; None where it cannot tell yet, or was away."""

    day: date
    rain_mm: float
    dry: bool | None


def rain_day(at: datetime, zone: tzinfo) -> date:
    """The day to which rain read at a moment belongs: what is read at midnight fell on the day before."""
    return (at - timedelta(microseconds=1)).astimezone(zone).date()


def days_touched(moments: Iterable[datetime], zone: tzinfo) -> list[date]:
    """Days about which readings at these moments say something: their own, and the day before, which they may end."""
    own = {rain_day(at, zone) for at in moments}
    return sorted(own | {day - timedelta(days=1) for day in own})


def bounds(day: date, zone: tzinfo) -> tuple[datetime, datetime]:
    """The midnights at which a day begins and ends."""
    return datetime.combine(day, time(), zone), datetime.combine(day + timedelta(days=1), time(), zone)


def judge_day(day: date, falls: Sequence[Rain], zone: tzinfo) -> DayOfRain:
    """Say of a day whether it was dry.

    Parameters
    ----------
    day : date
        The day, in the shop's time zone.
    falls : sequence of Rain
        What one gauge read on it and around it, rising in time.
    zone : tzinfo
        The shop's time zone.

    Returns
    -------
    DayOfRain
        Wet as soon as more than `DRY_DAY_MM` fell; dry once the gauge has read on past the day's end, and was never
        silent for more than `LONGEST_UNREAD` in it.
    """
    begin, end = bounds(day, zone)
    total_mm = round(sum(fall.rain_mm for fall in falls if rain_day(fall.at, zone) == day), 3)
    if total_mm > DRY_DAY_MM:
        return DayOfRain(day=day, rain_mm=total_mm, dry=False)
    before = [fall.at for fall in falls if fall.at <= begin][-1:]
    after = [fall.at for fall in falls if fall.at >= end][:1]
    inside = [fall.at for fall in falls if begin < fall.at < end]
    read = [*before, *inside, *after]
    whole = bool(before and after) and all(b - a <= LONGEST_UNREAD for a, b in pairwise(read))
    return DayOfRain(day=day, rain_mm=total_mm, dry=True if whole else None)

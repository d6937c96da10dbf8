"""The air of a zone over the last and the next days, with the hours in which no coat may go on."""

from dataclasses import dataclass
from datetime import tzinfo

from stages.pictures.age_curve import Across
from stages.pictures.strips import Series, Strip, draw_strip
from stages.pictures.timeline import Tick, Timeline

HEAD, STRIP, GAP, DAYS, FOOT = 22, 92, 30, 26, 22


@dataclass(slots=True, frozen=True, kw_only=True)
class Weather:
    """A day of the yard: its stretch of time, seconds since 1970 UTC, and whether it was dry; None: nobody said."""

    start_s: float
    end_s: float
    dry: bool | None


@dataclass(slots=True, frozen=True, kw_only=True, eq=False)
class AirCourse:
    """What the picture of a zone shows.

    Parameters
    ----------
    timeline : Timeline
        The last days and the next.
    now_s : float
        The present, seconds since 1970 UTC.
    zone : tzinfo
        The shop's time zone.
    series : tuple of Series
        Temperature, humidity, margin above the dew point.
    refused : tuple of (float, float)
        Stretches in which the air keeps a coat off, seconds since 1970 UTC.
    days : tuple of Weather
        For a zone outdoors.
    """

    timeline: Timeline
    now_s: float
    zone: tzinfo
    series: tuple[Series, ...]
    refused: tuple[tuple[float, float], ...] = ()
    days: tuple[Weather, ...] = ()


@dataclass(slots=True, frozen=True, kw_only=True)
class DayMark:
    """A day as it is drawn: its stretch, its middle, and whether it was dry."""

    x: str
    width: str
    middle: str
    dry: bool | None


@dataclass(slots=True, frozen=True, kw_only=True)
class AirPicture:
    """What the template needs: px for heights, per cent along time, path data within each strip's own box."""

    height: int
    top: int
    foot: int
    now: str
    strips: tuple[Strip, ...]
    refused: tuple[Across, ...]
    days: tuple[DayMark, ...]
    ticks: tuple[Tick, ...]

    @property
    def tall(self) -> int:
        """Give the height of all strips together, px."""
        return self.strips[-1].bottom - self.top

    @property
    def days_y(self) -> int:
        """Give the top of the row of days, px."""
        return self.strips[-1].bottom + 8


def draw_zone_air(course: AirCourse) -> AirPicture:
    """Draw the air of a zone.

    Parameters
    ----------
    course : AirCourse
        Its quantities, and when they keep a coat off.

    Returns
    -------
    AirPicture
        Numbers and path data, alike in every language.
    """
    line = course.timeline
    strips = tuple(
        draw_strip(series, line, top=HEAD + n * (STRIP + GAP), height=STRIP) for n, series in enumerate(course.series)
    )
    foot = strips[-1].bottom + (DAYS + 8 if course.days else 0)
    return AirPicture(
        height=foot + FOOT,
        top=HEAD,
        foot=foot,
        now=line.pct(course.now_s) if line.holds(course.now_s) else "",
        strips=strips,
        refused=tuple(Across(x=line.pct(start), width=line.width(start, end)) for start, end in course.refused),
        days=tuple(_day(line, day) for day in course.days),
        ticks=line.ticks(course.zone),
    )


def _day(line: Timeline, day: Weather) -> DayMark:
    return DayMark(
        x=line.pct(day.start_s),
        width=line.width(day.start_s, day.end_s),
        middle=line.pct((max(day.start_s, line.start_s) + min(day.end_s, line.end_s)) / 2),
        dry=day.dry,
    )

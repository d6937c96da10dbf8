"""The age of a coat against the hours that its label asks for, over the air that it dries in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from stages.engine.air import FloatArray
from stages.engine.errors import EngineError
from stages.pictures.lines import Bools, Points, area, band, path
from stages.pictures.strips import FINE, Levels, Series, Strip, draw_strip
from stages.pictures.timeline import Tick, Timeline

HEAD = 22  # px over the curve, for the word at the line of now
PLOT = 230
STRIP, GAP, FOOT = 56, 30, 22
HEADROOM = 1.1  # the highest goal stays this far under the top
LINE = 17  # px between two lines of words
ABOVE, TOP = 5, 12  # px that words stand over their line, and under the top at least
LATE = 0.85  # the word at a line further right stands on its left
LEFT_FROM = 0.5  # a goal that is reached further right has its words on the left, over the curve


@dataclass(slots=True, frozen=True, kw_only=True)
class Goal:
    """A dryness, or several that take the same hours.

    Parameters
    ----------
    name : str
        Ready to read, such as "dry to sand".
    needed_h : float
        Age that it takes, hours of the label.
    likely, early, late, what_if : datetime or None
        When it is reached: likely, in warm and in cold nights, and in a room that is kept otherwise; None for never.
    """

    name: str
    needed_h: float
    likely: datetime | None
    early: datetime | None = None
    late: datetime | None = None
    what_if: datetime | None = None


@dataclass(slots=True, frozen=True, kw_only=True, eq=False)
class AgeCourse:
    """What the picture of a coat shows.

    Parameters
    ----------
    timeline : Timeline
        From the moment at which the coat went on.
    now_s : float
        The present, seconds since 1970 UTC.
    zone : tzinfo
        The shop's time zone.
    seconds : array, shape (n,)
        Moments of the ages, the present among them where it lies in the timeline.
    likely_h, early_h, late_h : array, shape (n,)
        Age, hours of the label: likely, and in air as warm and as cold as one night in ten.
    what_if_h : array, shape (n,), optional
        Age if the room were kept otherwise from now on.
    goals : tuple of Goal
        With rising hours.
    closes : datetime, optional
        When the recoat window closes.
    still : tuple of (float, float)
        Stretches in which the film stands still, seconds since 1970 UTC.
    air, humidity : Series
        The air that it dries in.
    """

    timeline: Timeline
    now_s: float
    zone: tzinfo
    seconds: FloatArray
    likely_h: FloatArray
    early_h: FloatArray
    late_h: FloatArray
    what_if_h: FloatArray | None = None
    goals: tuple[Goal, ...]
    closes: datetime | None = None
    still: tuple[tuple[float, float], ...] = ()
    air: Series
    humidity: Series

    def __post_init__(self) -> None:
        if not self.goals:
            raise EngineError("goals", "A label without hours gives no curve.")
        if any(len(column) != len(self.seconds) for column in (self.likely_h, self.early_h, self.late_h)):
            raise EngineError("seconds", "Every moment needs its ages.")


@dataclass(slots=True, frozen=True, kw_only=True)
class GoalMark:
    """A goal as it is drawn: its line across, the band and the point at which it is reached, and its words."""

    goal: Goal
    y: int
    x: str
    band_x: str
    band_width: str
    words_y: int
    on_the_left: bool
    reached: bool


@dataclass(slots=True, frozen=True, kw_only=True)
class Across:
    """A stretch of time as it is drawn."""

    x: str
    width: str


@dataclass(slots=True, frozen=True, kw_only=True)
class AgePicture:
    """What the template needs: px for heights, per cent along time, path data within ``view_box``."""

    height: int
    top: int
    plot: int
    view_box: str
    under: str
    line: str
    ahead: str
    band: str
    what_if: str
    now: str
    now_late: bool
    closes: str
    goals: tuple[GoalMark, ...]
    still: tuple[Across, ...]
    strips: tuple[Strip, ...]
    ticks: tuple[Tick, ...]

    @property
    def bottom(self) -> int:
        """Give the foot of the curve, px."""
        return self.top + self.plot

    @property
    def foot(self) -> int:
        """Give where the last strip ends and the words of the ticks begin, px."""
        return self.strips[-1].bottom


def draw_age_curve(course: AgeCourse) -> AgePicture:
    """Draw the age of a coat.

    Parameters
    ----------
    course : AgeCourse
        Its ages, its goals and its air.

    Returns
    -------
    AgePicture
        Numbers and path data, alike in every language.
    """
    line = course.timeline
    levels = Levels(0.0, HEADROOM * course.goals[-1].needed_h, PLOT)
    past = course.seconds <= course.now_s
    ahead = course.seconds >= course.now_s
    curve = _points(course, levels, course.likely_h)
    behind = [point for point, is_past in zip(curve, past, strict=True) if is_past]
    coming = [point for point, is_ahead in zip(curve, ahead, strict=True) if is_ahead]
    bottom = HEAD + PLOT
    return AgePicture(
        height=bottom + 2 * (GAP + STRIP) + FOOT,
        top=HEAD,
        plot=PLOT,
        view_box=f"0 0 {line.x(line.end_s)} {FINE * PLOT}",
        under=area(behind, FINE * PLOT),
        line=path(behind),
        ahead=path(coming),
        band=_band(course, levels, ahead),
        what_if=_what_if(course, levels, ahead),
        now=line.pct(course.now_s) if line.holds(course.now_s) else "",
        now_late=line.share(course.now_s) > LATE,
        closes=line.pct(course.closes.timestamp()) if course.closes and line.holds(course.closes.timestamp()) else "",
        goals=_marks(course, levels),
        still=tuple(Across(x=line.pct(start), width=line.width(start, end)) for start, end in course.still),
        strips=(
            draw_strip(course.air, line, top=bottom + GAP, height=STRIP, lines=2),
            draw_strip(course.humidity, line, top=bottom + 2 * GAP + STRIP, height=STRIP, lines=2),
        ),
        ticks=line.ticks(course.zone),
    )


def _points(course: AgeCourse, levels: Levels, ages_h: FloatArray) -> Points:
    # What runs on over the top is cut off by the box that it is drawn in.
    return [(course.timeline.x(second), levels.fine(age)) for second, age in zip(course.seconds, ages_h, strict=True)]


def _band(course: AgeCourse, levels: Levels, ahead: Bools) -> str:
    early, late = (
        [point for point, is_ahead in zip(_points(course, levels, ages), ahead, strict=True) if is_ahead]
        for ages in (course.early_h, course.late_h)
    )
    return band(early, late)


def _what_if(course: AgeCourse, levels: Levels, ahead: Bools) -> str:
    if course.what_if_h is None:
        return ""
    points = _points(course, levels, course.what_if_h)
    return path(point for point, is_ahead in zip(points, ahead, strict=True) if is_ahead)


def _marks(course: AgeCourse, levels: Levels) -> tuple[GoalMark, ...]:
    heights = [HEAD + levels.y(goal.needed_h) for goal in course.goals]
    on_the_left = [
        goal.likely is None or course.timeline.share(goal.likely.timestamp()) > LEFT_FROM for goal in course.goals
    ]
    words = dict[int, int]()
    for side in (True, False):
        numbers = [number for number, left in enumerate(on_the_left) if left is side]
        words |= zip(numbers, spread([heights[number] - ABOVE for number in numbers]), strict=True)
    return tuple(
        _mark(course, goal, heights[number], words[number], on_the_left[number])
        for number, goal in enumerate(course.goals)
    )


def spread(wanted: Sequence[int]) -> list[int]:
    """Give where lines of words stand, px from the top: as wanted, or moved until none lies on another.

    Parameters
    ----------
    wanted : sequence of int
        From the lowest line to the highest.
    """
    placed: list[int] = []
    for y in wanted:
        placed.append(min(y, placed[-1] - LINE) if placed else y)
    # What that pushed out at the top comes down again, and the lines under it with it.
    highest = TOP
    for number in reversed(range(len(placed))):
        placed[number] = max(placed[number], highest)
        highest = placed[number] + LINE
    return placed


def _mark(course: AgeCourse, goal: Goal, y: int, words_y: int, on_the_left: bool) -> GoalMark:
    line = course.timeline
    likely_s = goal.likely.timestamp() if goal.likely else None
    early_s = goal.early.timestamp() if goal.early else likely_s
    late_s = goal.late.timestamp() if goal.late else line.end_s
    reached = likely_s is not None and likely_s <= course.now_s
    open_ = early_s is not None and not reached
    return GoalMark(
        goal=goal,
        y=y,
        x=line.pct(likely_s) if likely_s is not None and line.holds(likely_s) else "",
        band_x=line.pct(early_s) if open_ and early_s is not None else "",
        band_width=line.width(early_s, late_s) if open_ and early_s is not None else "",
        words_y=words_y,
        on_the_left=on_the_left,
        reached=reached,
    )

"""One quantity over time: its line, what lies ahead with its band, its grid and its limits."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from stages.engine.air import FloatArray
from stages.engine.errors import EngineError
from stages.pictures.lines import Bools, band, runs, thinned
from stages.pictures.timeline import Timeline

FINE = 4  # units of path data to a pixel of height
ROOM = 20  # px that a value needs


@dataclass(slots=True, frozen=True, kw_only=True, eq=False)
class Series:
    """A quantity over time, in the units that the page shows.

    Parameters
    ----------
    name, unit : str
        Ready to read.
    seconds, values : array, shape (n,)
        Moments, seconds since 1970 UTC, rising, and the quantity.
    known : array of bool, shape (n - 1,)
        Which stretches between neighbours were measured.
    lower, upper : array, shape (n,), optional
        The band of what lies ahead.
    limits : tuple of float
        Values at which something is refused.

    Raises
    ------
    EngineError
        Columns of unlike length, or fewer than two points.
    """

    name: str
    unit: str
    seconds: FloatArray
    values: FloatArray
    known: Bools
    lower: FloatArray | None = None
    upper: FloatArray | None = None
    limits: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        others = [self.values, *(column for column in (self.lower, self.upper) if column is not None)]
        if len(self.seconds) < 2 or any(len(column) != len(self.seconds) for column in others):
            raise EngineError("values", "A line needs two points, and a value for each moment.")
        if len(self.known) != len(self.seconds) - 1:
            raise EngineError("known", "Each stretch between two moments was measured or not.")


@dataclass(slots=True, frozen=True, kw_only=True)
class GridLine:
    """A line across at a value; its label is the value, or nothing where there is no room for it."""

    y: int
    label: str


@dataclass(slots=True, frozen=True, kw_only=True)
class Strip:
    """A drawn quantity: where it lies, px, and path data within ``view_box``."""

    name: str
    unit: str
    top: int
    height: int
    view_box: str
    grid: tuple[GridLine, ...]
    limits: tuple[int, ...]
    known: str
    assumed: str
    band: str

    @property
    def bottom(self) -> int:
        """Give its lower edge, px."""
        return self.top + self.height


@dataclass(slots=True, frozen=True)
class Levels:
    """From values to heights: ``low`` lies at the foot and ``high`` at the top of ``height`` pixels."""

    low: float
    high: float
    height: int

    def y(self, value: float) -> int:
        """Give how far under the top a value lies, px."""
        return round(self.height * (self.high - value) / (self.high - self.low))

    def fine(self, value: float) -> int:
        """Give the same in units of path data."""
        return round(FINE * self.height * (self.high - value) / (self.high - self.low))


def draw_strip(series: Series, timeline: Timeline, *, top: int, height: int, lines: int = 3) -> Strip:
    """Draw a quantity over time.

    Parameters
    ----------
    series : Series
        The quantity; only what lies in the timeline is drawn.
    timeline : Timeline
        The time across.
    top, height : int
        Where it lies, px.
    lines : int
        About how many lines of the grid.
    """
    low, high, step = rounded_out(_extent(series), lines)
    levels = Levels(low, high, height)
    kept = thinned(series.seconds, series.values)
    points = [(timeline.x(s), levels.fine(v)) for s, v in zip(series.seconds[kept], series.values[kept], strict=True)]
    unknown = np.concatenate(([0], np.cumsum(~series.known)))
    joined = (unknown[kept[1:]] == unknown[kept[:-1]]).tolist()
    count = round((high - low) / step)
    return Strip(
        name=series.name,
        unit=series.unit,
        top=top,
        height=height,
        view_box=f"0 0 {timeline.x(timeline.end_s)} {FINE * height}",
        grid=tuple(_grid(levels, top, low, step, count)),
        limits=tuple(top + levels.y(limit) for limit in series.limits if low <= limit <= high),
        known=runs(points, joined, True),
        assumed=runs(points, joined, False),
        band=_band(series, timeline, levels),
    )


def _grid(levels: Levels, top: int, low: float, step: float, count: int) -> Iterator[GridLine]:
    roomy = count * ROOM <= levels.height
    for number in range(count + 1):
        value = low + step * number
        label = f"{value:g}" if roomy or number in (0, count) else ""
        yield GridLine(y=top + levels.y(value), label=label)


def _extent(series: Series) -> tuple[float, float]:
    columns = [column for column in (series.values, series.lower, series.upper) if column is not None]
    return float(min(column.min() for column in columns)), float(max(column.max() for column in columns))


def _band(series: Series, timeline: Timeline, levels: Levels) -> str:
    if series.lower is None or series.upper is None:
        return ""
    open_ = np.flatnonzero(series.upper > series.lower)
    if len(open_) == 0:
        return ""
    # It opens from the last point at which both are still one.
    first = max(0, int(open_[0]) - 1)
    edges = []
    for column in (series.upper, series.lower):
        seconds, values = series.seconds[first:], column[first:]
        kept = thinned(seconds, values)
        edges.append([(timeline.x(s), levels.fine(v)) for s, v in zip(seconds[kept], values[kept], strict=True)])
    return band(*edges)


def rounded_out(extent: tuple[float, float], lines: int) -> tuple[float, float, float]:
    """Give the least and most of a scale, and the step of its grid: 1, 2 or 5 times a power of ten, at least 1.

    Parameters
    ----------
    extent : (float, float)
        Least and most of what is drawn.
    lines : int
        About how many steps.

    Returns
    -------
    (float, float, float)
        Both ends are multiples of the step, and differ.
    """
    least, most = extent
    rough = max((most - least) / lines, 1.0)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times >= rough * 0.999)
    low, high = math.floor(least / step) * step, math.ceil(most / step) * step
    return low, max(high, low + step), step

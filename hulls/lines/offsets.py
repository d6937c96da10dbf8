"""An offset table: half-breadths at heights, station by station, and the sizes of the hull that it gives.

The hull is straight between points. From one station to the next, points are joined one by one where both have the same
number of them, else by their share of the girth; so no point is lost.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from hulls.lines.errors import LinesError
from hulls.lines.principal import LIMITS

# No boat's that is built like a canoe: they catch millimetres, centimetres and inches among metres.
LONGEST_M, DEEPEST_M, WIDEST_M = 40.0, 6.0, 8.0  # stations, heights, half-breadths
MOST_POINTS = 20_000
SAME = 1e-9  # metres: two writings of one number

Offset = tuple[float, float]  # height and half-breadth


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One station of a table.

    Parameters
    ----------
    x_m : float
        Where it stands along the length, in metres, from anywhere.
    points : tuple of (float, float)
        Height and half-breadth of each point, in metres, in any order. A table of the other side has every
        half-breadth below zero; one of both sides has each point twice.

    Raises
    ------
    LinesError
        For a number that is none, or half-breadths that cross the centreline or one another.
    """

    x_m: float
    points: tuple[Offset, ...]

    def __post_init__(self) -> None:
        numbers = [self.x_m, *(number for point in self.points for number in point)]
        if not self.points or not all(map(math.isfinite, numbers)):
            raise LinesError("offsets", f"The station at {self.x_m:g} m has no numbers.")
        one_side = tuple(sorted(_one_side(self)))
        _check_crossed(self.x_m, one_side)
        object.__setattr__(self, "points", one_side)

    @property
    def beam_m(self) -> float:
        """Twice the greatest half-breadth."""
        return 2 * max(breadth for _, breadth in self.points)

    @property
    def keel_m(self) -> float:
        """Height of the lowest point."""
        return self.points[0][0]

    @property
    def sheer_m(self) -> float:
        """Height of the highest point."""
        return self.points[-1][0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offsets:
    """A whole table.

    Parameters
    ----------
    stations : tuple of Station
        At least two, in any order; both ends included. An end that closes to a point or a line of half-breadth zero
        is a stem, any other is cut off square, and that face is no skin.

    Raises
    ------
    LinesError
        For stations that cannot be a hull: too few, two at one place, one of a single point between the ends, numbers
        too large for metres.
    """

    stations: tuple[Station, ...]

    def __post_init__(self) -> None:
        stations = tuple(sorted(self.stations, key=lambda station: station.x_m))
        object.__setattr__(self, "stations", stations)
        if len(stations) < 2:
            raise LinesError("offsets", "A table needs two stations at least: both ends are among them.")
        _check_places(stations)
        _check_sizes(self)

    @classmethod
    def of_points(cls, points: Iterable[tuple[float, float, float]]) -> "Offsets":
        """Gather rows of station, height and half-breadth, in metres and any order."""
        by_place: dict[float, list[Offset]] = {}
        for x_m, height_m, breadth_m in points:
            by_place.setdefault(x_m, []).append((height_m, breadth_m))
        return cls(stations=tuple(Station(x_m=x_m, points=tuple(found)) for x_m, found in by_place.items()))

    @property
    def length_m(self) -> float:
        """From the first station to the last."""
        return self.stations[-1].x_m - self.stations[0].x_m

    @property
    def depth_m(self) -> float:
        """From the lowest point to the highest."""
        return max(s.sheer_m for s in self.stations) - min(s.keel_m for s in self.stations)

    @property
    def beam_m(self) -> float:
        """Twice the greatest half-breadth."""
        return max(station.beam_m for station in self.stations)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What no canoe has, though a table may: most likely numbers in another unit, like feet among metres."""
        found = []
        for value, called, field in (
            (self.length_m, "long", "length_m"),
            (self.beam_m, "wide", "beam_m"),
            (self.depth_m, "deep", "end_depth_m"),
        ):
            limits = LIMITS[field]
            if not limits.low_m <= value <= limits.high_m:
                found.append(f"{value:.3g} m {called}. {limits.says}. Are all numbers in metres?")
        return tuple(found)


def _one_side(station: Station) -> Sequence[Offset]:
    out = [point for point in station.points if point[1] > 0]
    over = [(height, -breadth) for height, breadth in station.points if breadth < 0]
    middle = [point for point in station.points if point[1] == 0]
    if not over:
        return [*middle, *out]
    if not out or sorted(over) == sorted(out):
        return [*(middle and middle[: max(1, len(middle) if not out else 1)]), *over]
    breadth = max(over)[1]
    raise LinesError(
        "offsets",
        f"The station at {station.x_m:g} m has a half-breadth of −{breadth:g} m that crosses the centreline, with none "
        "to match it on the other side.",
    )


def _check_crossed(x_m: float, points: Sequence[Offset]) -> None:
    lowest = points[0][0]
    for (height, breadth), (next_height, next_breadth) in pairwise(points):
        if height > lowest + SAME and next_height - height < SAME and next_breadth - breadth > SAME:
            raise LinesError(
                "offsets",
                f"The station at {x_m:g} m is crossed: at the height {height:g} m it has the half-breadths "
                f"{breadth:g} m and {next_breadth:g} m.",
            )


def _check_places(stations: Sequence[Station]) -> None:
    for before, after in pairwise(stations):
        if after.x_m - before.x_m < SAME:
            raise LinesError("offsets", f"Two stations stand at {after.x_m:g} m.")
    for station in stations[1:-1]:
        if len(station.points) == 1:
            raise LinesError(
                "offsets",
                f"The station at {station.x_m:g} m has one point only; points are missing. Only an end closes to one.",
            )


def _check_sizes(offsets: Offsets) -> None:
    for value, most, called in (
        (offsets.length_m, LONGEST_M, "The stations span"),
        (offsets.depth_m, DEEPEST_M, "The heights span"),
        (offsets.beam_m / 2, WIDEST_M, "The greatest half-breadth is"),
    ):
        if value > most:
            raise LinesError("offsets", f"{called} {value:.4g} m, more than {most:g} m. Are all numbers in metres?")
    if not offsets.beam_m:
        raise LinesError("offsets", "Every half-breadth is zero.")
    if sum(len(station.points) for station in offsets.stations) > MOST_POINTS:
        raise LinesError("offsets", f"The table has more than {MOST_POINTS} points.")

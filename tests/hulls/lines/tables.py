"""Offset tables of solids whose area and volume are known in closed form, metres."""

import math
from collections.abc import Iterator

Row = tuple[float, float, float]  # station, height, half-breadth


def arc(r: float, points: int) -> list[tuple[float, float]]:
    """Half of a half circle under the waterline: height and half-breadth from the keel up, evenly spaced as angles."""
    angles = [math.pi / 2 * n / points for n in range(points + 1)]
    return [(-r * math.cos(a), r * math.sin(a)) for a in angles]


def half_cylinder(r: float, length: float, points: int = 40) -> list[Row]:
    return [(x, *point) for x in (0.0, length) for point in arc(r, points)]


def two_half_cones(r: float, height: float, points: int = 40) -> list[Row]:
    return [(0.0, 0.0, 0.0), *((height, *point) for point in arc(r, points)), (2 * height, 0.0, 0.0)]


def half_ellipsoid(a: float, b: float, c: float, stations: int = 80, points: int = 40) -> Iterator[Row]:
    """Semi-axes along, across and down; stations crowd towards the blunt ends."""
    for m in range(stations + 1):
        t = math.pi * m / stations
        scale = 0.0 if m in (0, stations) else math.sin(t)
        for height, breadth in arc(1.0, points) if scale else [(0.0, 0.0)]:
            yield -a * math.cos(t), c * scale * height, b * scale * breadth


def parabolic_hull(r: float, length: float, stations: int = 80, points: int = 40) -> Iterator[Row]:
    """Half-round sections whose radius falls off along the length as a parabola."""
    for m in range(stations + 1):
        u = 2 * m / stations - 1
        here = r * (1 - u * u)
        for height, breadth in arc(here, points) if here > 0 else [(0.0, 0.0)]:
            yield length / 2 * u, height, breadth

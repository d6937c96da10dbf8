"""The sizes of the hull that an offset table gives, straight between its points."""

import math
from itertools import pairwise

import numpy as np

from hulls.lines.offsets import Offsets, Station
from hulls.lines.sizes import SKIN_M, Sizes
from hulls.lines.skin import Array, Net, lengths, strips

READ_M = 0.0008  # half of the sixteenth of an inch to which offsets are read
STEM_SLOPE = 1 / 4  # the keel line ends, and the stem begins, where the profile rises more steeply


def measure_offsets(offsets: Offsets) -> Sizes:
    """Reckon the sizes of the hull that a table gives.

    Parameters
    ----------
    offsets : Offsets
        The table, checked.

    Returns
    -------
    Sizes
        Of the hull straight between its points. The spread is a third of what the outside area loses when every second
        station and every second point is left out (Richardson's estimate of what lies between the points), together
        with what the skin gains when every offset was read too small by half of a sixteenth of an inch.
    """
    stations = offsets.stations
    net = _net(stations)
    areas, volumes = strips(net)
    outside = 2 * float(np.sum(areas))
    girths = _girths(stations)
    turned = [_turned(station) for station in stations]
    along = [station.x_m for station in stations]
    turning = sum((b - a) * (s + t) for (a, b), (s, t) in zip(pairwise(along), pairwise(turned), strict=True))
    keel, stem = _keel_and_stem(stations)
    return Sizes(
        outside_area_m2=outside,
        inside_area_m2=max(outside - SKIN_M * turning, 0.0),
        side_area_m2=_side_area(stations),
        greatest_girth_m=max(girth for _, girth in girths),
        sheer_length_m=sum(math.dist(a, b) for a, b in pairwise(_sheer(stations))),
        keel_length_m=keel,
        stem_length_m=stem,
        length_m=offsets.length_m,
        beam_m=offsets.beam_m,
        volume_m3=float(np.sum(np.abs(volumes))),
        spread_pct=_spread(stations, outside, turning),
        girths=girths,
    )


def _net(stations: tuple[Station, ...]) -> Net:
    """Return a net of pairs of stations, shape (pairs, 2, points), the shorter ones filled up with their last point."""
    pairs = [_joined(a, b) for a, b in pairwise(stations)]
    points = max(len(y) for _, y, _ in pairs)
    fill = [np.pad(np.array(pair), ((0, 0), (0, points - pair[1].shape[0]), (0, 0)), mode="edge") for pair in pairs]
    x, y, z = np.moveaxis(np.array(fill), 1, 0)
    return Net(*(np.swapaxes(p, 1, 2) for p in (x, y, z)))


def _joined(a: Station, b: Station) -> tuple[Array, Array, Array]:
    """Return x, y and z of the points of two stations that are joined, each of shape (points, 2)."""
    first, second = _rim(a), _rim(b)
    if len(a.points) != len(b.points):
        shares = np.union1d(_shares(first), _shares(second))
        first, second = _at(first, shares), _at(second, shares)
    x = np.broadcast_to([a.x_m, b.x_m], (len(first), 2))
    return x, np.stack([first[:, 0], second[:, 0]], axis=1), np.stack([first[:, 1], second[:, 1]], axis=1)


def _rim(station: Station) -> Array:
    """Return half-breadths and heights from the centreline to the sheer: a flat bottom is counted from there."""
    return np.array([(0.0, station.keel_m), *((breadth, height) for height, breadth in station.points)])


def _shares(rim: Array) -> Array:
    steps = np.hypot(*np.diff(rim, axis=0).T)
    run = np.concatenate([[0.0], np.cumsum(steps)])
    return run / run[-1] if run[-1] else np.array([0.0, 1.0])


def _at(rim: Array, shares: Array) -> Array:
    own = _shares(rim)
    if len(own) != len(rim):  # all in one point
        return np.broadcast_to(rim[0], (len(shares), 2))
    return np.stack([np.interp(shares, own, rim[:, axis]) for axis in (0, 1)], axis=1)


def _girths(stations: tuple[Station, ...]) -> tuple[tuple[float, float], ...]:
    start = stations[0].x_m
    rims = ((station.x_m - start, _rim(station)) for station in stations)
    return tuple((x, 0.0 if not rim[:, 0].any() else 2 * float(lengths(rim[:, 0], rim[:, 1]))) for x, rim in rims)


def _turned(station: Station) -> float:
    """Return the angle that one side of a section turns, from level at the keel to the side at the sheer."""
    rim = _rim(station)
    for (y, z), (next_y, next_z) in reversed(list(pairwise(rim.tolist()))):
        if (y, z) != (next_y, next_z):
            return math.atan2(next_z - z, next_y - y)
    return math.pi / 2


def _sheer(stations: tuple[Station, ...]) -> list[tuple[float, float, float]]:
    return [(station.x_m, station.points[-1][1], station.sheer_m) for station in stations]


def _side_area(stations: tuple[Station, ...]) -> float:
    sides = [(station.x_m, station.sheer_m - station.keel_m) for station in stations]
    return sum((b - a) * (s + t) / 2 for (a, s), (b, t) in pairwise(sides))


def _keel_and_stem(stations: tuple[Station, ...]) -> tuple[float, float]:
    """Return the length of the keel line and of a stem, the mean of both ends."""
    line = [(station.x_m, station.keel_m) for station in stations]
    middle = min(range(len(line)), key=lambda at: abs(line[at][0] - (line[0][0] + line[-1][0]) / 2))
    stem = sum(_upright(station) for station in (stations[0], stations[-1]))
    keel = 0.0
    for at, (a, b) in enumerate(pairwise(line)):
        outer, inner = (a, b) if at < middle else (b, a)
        steep = outer[1] - inner[1] > STEM_SLOPE * (b[0] - a[0])
        stem, keel = (stem + math.dist(a, b), keel) if steep else (stem, keel + math.dist(a, b))
    return keel, stem / 2


def _upright(end: Station) -> float:
    return 0.0 if end.beam_m else end.sheer_m - end.keel_m


def _spread(stations: tuple[Station, ...], outside: float, turning: float) -> float:
    thinned = [
        _every_second(stations),
        _every_second(stations[::-1])[::-1],
    ]  # from either end: a hull turned is the same
    between = max(abs(outside - 2 * float(np.sum(strips(_net(few))[0]))) for few in thinned) / 3
    return 100 * math.hypot(between, READ_M * turning) / outside


def _every_second(stations: tuple[Station, ...]) -> tuple[Station, ...]:
    thinned = [Station(x_m=station.x_m, points=(*station.points[:-1:2], station.points[-1])) for station in stations]
    return (*thinned[:-1:2], thinned[-1]) if len(stations) > 2 else tuple(thinned)

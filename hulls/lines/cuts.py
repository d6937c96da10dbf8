"""Plane sections across a hull, cut from the net of its forward quarter."""

import math
from itertools import pairwise

import numpy as np

from hulls.lines.profile import Profile
from hulls.lines.skin import Net

Curve = tuple[tuple[float, float], ...]  # half-breadth and height, from the keel to the sheer, in metres

GIRTHS = 12  # parts of the length between which girths are told


def cut(net: Net, side: Profile, x_m: float) -> Curve:
    """Cut one side of a hull across.

    Parameters
    ----------
    net : Net
        Of one hull, shape (1, stations, points).
    side : Profile
        Its side view, which tells where keel or forefoot are met.
    x_m : float
        Where, in metres from amidships; either half.

    Returns
    -------
    tuple of (float, float)
        Half-breadth and height of each point, in metres; empty beyond the sheer's tip.
    """
    x = abs(x_m)
    if x >= side.sheer.end[0]:
        return ()
    found = [(0.0, side.keel_m(x))]
    for line in range(1, net.x.shape[-1]):
        along = net.x[0, :, line]
        if x < along[-1]:
            found.append((float(np.interp(x, along, net.y[0, :, line])), float(np.interp(x, along, net.z[0, :, line]))))
    return tuple(found)


def girth(curve: Curve) -> float:
    """Return the length round both sides, in metres."""
    return 2 * sum(math.dist(a, b) for a, b in pairwise(curve))


def girths_along(net: Net, side: Profile) -> tuple[tuple[float, float], ...]:
    """Return where along the length, from one end, and how long round the hull is there, in metres."""
    length = side.principal.length_m
    return tuple((place, girth(cut(net, side, place - length / 2))) for place in places(length))


def places(length_m: float) -> tuple[float, ...]:
    """Return where girths are told, in metres from one end."""
    return tuple(length_m * part / GIRTHS for part in range(GIRTHS + 1))

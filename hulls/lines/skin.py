"""Area and volume of a skin that is given by points: a net of them, straight between neighbours.

A net is three arrays of one shape (..., stations, points) for one side of the hull, from the keel to the sheer. Four
neighbours need not lie in a plane; both ways of cutting them into two triangles are taken and their mean is kept, so
that a net turned end for end gives the same numbers.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Net:
    """Points of one side of a hull: along the length, half-breadth, height, in metres."""

    x: Array
    y: Array
    z: Array


def strips(net: Net, longer: Array | float = 1.0) -> tuple[Array, Array]:
    """Return area and volume between each station and the next.

    Parameters
    ----------
    net : Net
        One side, arrays of shape (..., stations, points).
    longer : array or float
        By how much the skin is longer round than the net, between four neighbours each: shape
        (..., stations - 1, points - 1).

    Returns
    -------
    tuple of array
        Shape (..., stations - 1). First the area of one side, m². Then what both sides hold, m³, signed by the way the
        stations run: by Gauss's theorem twice the integral of the half-breadth over the side view, to which ends, a
        flat bottom and the lid across the sheer add nothing, since none of them faces sideways.
    """
    ab, ac, ad = _edges(net)
    bc, bd = _less(ac, ab), _less(ad, ab)
    y = net.y
    a, b, c, d = y[..., :-1, :-1], y[..., 1:, :-1], y[..., 1:, 1:], y[..., :-1, 1:]
    area, volume = np.zeros_like(ab[0]), np.zeros_like(ab[0])
    for first, second, breadth in ((ab, ac, a + b + c), (ac, ad, a + c + d), (ab, ad, a + b + d), (bc, bd, b + c + d)):
        across, sideways, up = _cross(first, second)
        area = area + np.sqrt(across * across + sideways * sideways + up * up)
        volume = volume + sideways * breadth
    # Each quadrilateral was cut twice (÷ 2), a triangle is half its parallelogram (÷ 2); a mean of three, two sides.
    return np.sum(area * longer, axis=-1) / 4, np.sum(volume * longer, axis=-1) / 4 / 3 * 2


def lengths(*axes: Array) -> Array:
    """Return the lengths of broken lines along their last axis, in metres."""
    along = sum(np.diff(axis) ** 2 for axis in axes)
    return np.asarray(np.sum(np.sqrt(along), axis=-1))


Edges = tuple[Array, Array, Array]


def _edges(net: Net) -> tuple[Edges, Edges, Edges]:
    def edges(p: Array) -> Edges:
        a = p[..., :-1, :-1]
        return p[..., 1:, :-1] - a, p[..., 1:, 1:] - a, p[..., :-1, 1:] - a

    x, y, z = edges(net.x), edges(net.y), edges(net.z)
    return (x[0], y[0], z[0]), (x[1], y[1], z[1]), (x[2], y[2], z[2])


def _less(a: Edges, b: Edges) -> Edges:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _cross(a: Edges, b: Edges) -> Edges:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]

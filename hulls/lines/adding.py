"""From nets of points to sizes."""

from collections.abc import Sequence
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from hulls.lines.form import Measures
from hulls.lines.sizes import SKIN_M, ManySizes, Sizes
from hulls.lines.skin import Array, Net, lengths, strips

LOOKED_AT = np.arange(6) / 6  # shares of the half length at which the greatest girth is looked for, as it is told


def sizes_of_nets(measures: Measures, net: Net, spread_pct: Array, longer: Array | float = 1.0) -> ManySizes:
    """Add up the nets of forward quarters.

    Parameters
    ----------
    measures : Measures
        Of these hulls.
    net : Net
        Shape (hulls, stations, points).
    spread_pct : array
        Of each hull.
    longer : array or float
        As for `hulls.lines.skin.strips`.
    """
    quarters, volumes = strips(net, longer)
    outside = 4 * np.sum(quarters, axis=-1)
    keel, stem = (net.x[:, :, 0], net.z[:, :, 0]), (net.x[:, -1], net.z[:, -1])
    return ManySizes(
        outside_area_m2=outside,
        inside_area_m2=outside - 4 * _within(net),
        side_area_m2=_side_area(net),
        greatest_girth_m=np.max(_girths(net, measures), axis=-1),
        sheer_length_m=2 * lengths(net.x[:, :, -1], net.y[:, :, -1], net.z[:, :, -1]),
        keel_length_m=2 * lengths(keel[0], np.zeros_like(keel[0]), keel[1]),
        stem_length_m=lengths(stem[0], np.zeros_like(stem[0]), stem[1]),
        length_m=measures.length,
        beam_m=measures.beam,
        volume_m3=2 * np.abs(np.sum(volumes, axis=-1)),
        spread_pct=spread_pct,
    )


def one(many: ManySizes, girths: Sequence[tuple[float, float]]) -> Sizes:
    """Return the first of many as one."""
    return Sizes(
        **{field.name: float(getattr(many, field.name)[0]) for field in fields(ManySizes)}, girths=tuple(girths)
    )


def _girths(net: Net, measures: Measures) -> Array:
    """Return girths at some places along each hull, shape (hulls, places): high ends can make it longest off amidships.

    On a line of the net `x` grows evenly from station to station, so that where it meets a plane is known at once.
    Where one line ends short of the plane and the next goes on, the section begins on the stem between their ends.
    """
    steps = net.x.shape[1] - 1
    plane = LOOKED_AT[:, None] * measures.length[:, None, None] / 2
    ends, heights = net.x[:, None, -1], net.z[:, None, -1]
    place = plane / ends * steps
    at = np.minimum(place.astype(int), steps - 1)
    y, z = (np.take_along_axis(p, at, 1) + (place - at) * _step(p, at) for p in (net.y, net.z))
    met = place <= steps
    both, begins = met[..., 1:] & met[..., :-1], met[..., 1:] & ~met[..., :-1]
    run = np.where(begins, np.diff(ends), 1.0)
    stem = heights[..., :-1] + (plane - ends[..., :-1]) / run * np.diff(heights)
    rises = np.where(begins, np.hypot(y[..., 1:], z[..., 1:] - stem), np.hypot(np.diff(y), np.diff(z)) * both)
    return np.asarray(2 * np.sum(rises, axis=-1))


def _step(p: Array, at: NDArray[np.int_]) -> Array:
    return np.take_along_axis(p, at + 1, 1) - np.take_along_axis(p, at, 1)


def _within(net: Net) -> Array:
    """Return by how much a quarter shrinks within the planking: thickness times the angle that its sections turn."""
    up, out = net.z[..., -1] - net.z[..., -2], net.y[..., -1] - net.y[..., -2]
    turned = np.where(up > 0, np.arctan2(up, out), np.pi / 2)
    along = np.diff(net.x[..., -1], axis=-1)
    return np.asarray(SKIN_M * np.sum((turned[:, 1:] + turned[:, :-1]) / 2 * along, axis=-1))


def _side_area(net: Net) -> Array:
    """Return the area within keel, stem and sheer, both halves, by the shoelace formula."""

    def rim(p: Array) -> Array:
        return np.concatenate([p[:, :, 0], p[:, -1, 1:], p[:, -2::-1, -1]], axis=1)

    x, z = rim(net.x), rim(net.z)
    return np.asarray(np.abs(np.sum(x * np.roll(z, -1, axis=1) - np.roll(x, -1, axis=1) * z, axis=1)))

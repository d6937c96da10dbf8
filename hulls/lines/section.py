"""The section of a hull of a given form: a superellipse up to where it is widest, and tumblehome above."""

from dataclasses import dataclass

import numpy as np

from hulls.lines.skin import Array

WIDEST_AT = 0.62  # of the depth, where the side comes in again above: by eye from drawings, no published source


@dataclass(frozen=True, slots=True)
class Section:
    """Points from keel to sheer: shares of the half-breadth and of the depth, shape (..., points)."""

    breadth: Array
    height: Array


def section(bottom: Array, tumblehome: Array, share_of_end: Array, *, round_points: int, side_points: int) -> Section:
    """Draw sections.

    Parameters
    ----------
    bottom : array
        Exponent of the superellipse.
    tumblehome : array
        Share of the half-breadth by which the side comes in at the sheer amidships.
    share_of_end : array
        How far towards the end each section stands, 0 to 1: tumblehome fades away on the way there.
    round_points, side_points : int
        Steps below the widest place, evenly spaced as angles, and above it.

    Returns
    -------
    Section
        The arrays' common shape, with the points as a last axis.
    """
    fading = np.square(share_of_end)
    comes_in = np.where(tumblehome > 0, 1.0, 0.0) * (1 - fading)
    widest = (1 - (1 - WIDEST_AT) * comes_in)[..., None]
    angle = np.linspace(0, np.pi / 2, round_points + 1)
    sine, cosine = np.sin(angle), np.cos(angle)
    sine[0] = cosine[-1] = 0.0
    exponent = np.asarray(bottom)[..., None]
    reach = (sine**exponent + cosine**exponent) ** (-1 / exponent)
    above = np.linspace(0, 1, side_points + 1)[1:]
    loss = (tumblehome * (1 - fading))[..., None] * above**2
    low, high = np.broadcast_arrays(sine * reach, (1 - cosine * reach) * widest)
    side, top = np.broadcast_arrays(1 - loss, widest + (1 - widest) * above)
    return Section(_joined(low, side), _joined(high, top))


def _joined(low: Array, high: Array) -> Array:
    shape = np.broadcast_shapes(low.shape[:-1], high.shape[:-1])
    return np.concatenate([np.broadcast_to(part, (*shape, part.shape[-1])) for part in (low, high)], axis=-1)

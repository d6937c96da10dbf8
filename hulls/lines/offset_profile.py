"""The principal dimensions that an offset table tells, from which its hull is drawn in side view."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from hulls.lines.offset_sizes import STEM_SLOPE
from hulls.lines.offsets import Offsets, Station
from hulls.lines.principal import LIMITS, Principal


def principal_of_offsets(offsets: Offsets, measured: Principal) -> Principal:
    """Return the dimensions of a hull as its table tells them.

    Parameters
    ----------
    offsets : Offsets
        The table.
    measured : Principal
        What was taped, for the stems, and for the length and the ends where the table stops short of a stem.

    Returns
    -------
    Principal
        Heights over the lowest point of the keel; the rocker where the keel line ends and the stem begins, at most
        what `Principal` allows; the rocker and the height of the ends a mean of both ends, as a drawing has them alike.

    Raises
    ------
    LinesError
        For a table of what is no canoe.
    """
    stations = offsets.stations
    base = min(station.keel_m for station in stations)
    middle = stations[0].x_m + offsets.length_m / 2
    after, forward = ([s for s in stations if sign * (s.x_m - middle) >= 0] for sign in (-1, 1))
    depth = float(np.interp(middle, [s.x_m for s in stations], [s.sheer_m for s in stations])) - base
    ends = sum(max(depth, *(s.sheer_m - base for s in half)) for half in (after, forward)) / 2
    rocker = sum(_keel_end_m(half) - base for half in (after[::-1], forward)) / 2
    whole = not (stations[0].beam_m or stations[-1].beam_m)
    return replace(
        measured,
        length_m=offsets.length_m if whole else max(offsets.length_m, measured.length_m),
        beam_m=offsets.beam_m,
        depth_m=depth,
        end_depth_m=ends if whole else max(ends, measured.end_depth_m),
        rocker_m=min(rocker, depth / 4, LIMITS["rocker_m"].high_m),
    )


def _keel_end_m(outwards: Sequence[Station]) -> float:
    """Height at which the keel line ends, on the way from amidships: there the profile begins to rise steeply."""
    for inner, outer in pairwise(outwards):
        if outer.keel_m - inner.keel_m > STEM_SLOPE * abs(outer.x_m - inner.x_m):
            return inner.keel_m
    return outwards[-1].keel_m

"""Sizes of a hull that work is reckoned from."""

import math

from hulls.models import Hull


def outside_area_m2(hull: Hull) -> float:
    """Outside area of a hull from its four measures, m².

    Parameters
    ----------
    hull : Hull
        The boat; its mean depth weighs the ends by a third.

    Notes
    -----
    Girth amidships as half an ellipse (Ramanujan's first approximation, 1914), times length and a fullness of 0.72,
    which is common practice, no published source. Good to about 10 %.
    """
    depth_m = hull.depth_m + (hull.end_depth_m - hull.depth_m) / 3
    a, b = hull.beam_m / 2, depth_m
    girth_m = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b))) / 2
    return 0.72 * girth_m * hull.length_m

"""Checked against SciPy's own Bernstein polynomials (scipy.interpolate.BPoly) and Brent's root finder."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import BPoly
from scipy.optimize import brentq

from hulls.lines.bezier import Cubic, Point

numbers = st.floats(-10, 10)
points = st.tuples(numbers, numbers)
cubics = st.builds(Cubic, points, points, points, points)
shares = st.floats(0, 1)


def reference(curve: Cubic, t: float) -> list[float]:
    ends = (curve.start, curve.leave, curve.arrive, curve.end)
    return [float(BPoly([[p[axis]] for p in ends], [0, 1])(t)) for axis in (0, 1)]


def near(point: Point) -> object:
    return pytest.approx(point, abs=1e-9)


@given(cubics, shares)
def test_a_point_on_the_curve_is_scipys(curve: Cubic, t: float) -> None:
    assert reference(curve, t) == near(curve.at(t))


@given(cubics, shares, shares)
def test_the_part_beyond_a_point_lies_on_the_whole_curve(curve: Cubic, cut: float, t: float) -> None:
    assert curve.after(cut).at(t) == near(curve.at(cut + (1 - cut) * t))


@given(st.lists(numbers, min_size=4, max_size=4, unique=True), shares)
def test_the_parameter_of_a_coordinate_is_brents_root(xs: list[float], share: float) -> None:
    a, b, c, d = sorted(xs)
    curve = Cubic((a, 0), (b, 0), (c, 0), (d, 0))
    x = a + (d - a) * share

    t = curve.t_where(0, x)

    assert curve.at(t)[0] == pytest.approx(x, abs=1e-9)
    if a < x < d:
        root = brentq(lambda u: curve.at(u)[0] - x, 0, 1)
        assert curve.at(root)[0] == pytest.approx(curve.at(t)[0], abs=1e-9)


def test_a_coordinate_beyond_the_ends_gives_the_nearer_end() -> None:
    down = Cubic((4, 0), (3, 0), (2, 0), (1, 0))

    assert (down.t_where(0, 9), down.t_where(0, -9)) == (0, 1)


@given(cubics, shares)
def test_the_mirrored_curve_runs_the_other_way_on_the_other_side(curve: Cubic, t: float) -> None:
    x, z = curve.at(t)

    assert curve.mirrored().at(1 - t) == near((-x, z))

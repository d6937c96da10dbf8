import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.lines import Principal, StemShape, profile, ribs, seam
from hulls.lines.bezier import Cubic
from tests.hulls.lines.strategies import WITHIN, canoes

STEPS = [n / 25 for n in range(26)]
SMALL = 1e-9


@given(canoes())
def test_the_side_view_keeps_within_its_length_and_height_and_reaches_them(hull: Principal) -> None:
    points = [curve.at(t) for curve in profile(hull).outline for t in STEPS]

    xs, zs = [p[0] for p in points], [p[1] for p in points]
    assert (min(xs), max(xs)) == pytest.approx((-hull.length_m / 2, hull.length_m / 2))
    assert (min(zs), max(zs)) == pytest.approx((0, hull.end_depth_m), abs=hull.keel_rise_m * 0.01 + SMALL)


@given(canoes())
def test_the_outline_closes_and_its_curves_join(hull: Principal) -> None:
    outline = profile(hull).outline

    for curve, following in zip(outline, (*outline[1:], outline[0]), strict=True):
        assert curve.end == pytest.approx(following.start)


@given(canoes())
def test_the_after_half_mirrors_the_forward_half(hull: Principal) -> None:
    side = profile(hull)
    curves = set(side.outline)

    forward = [side.sheer, *side.stem]
    assert all(curve.mirrored() in curves for curve in forward)
    assert side.keel.mirrored().at(0.3) == pytest.approx(side.keel.at(0.3))


@given(canoes())
def test_the_depths_are_met_exactly(hull: Principal) -> None:
    side = profile(hull)

    assert side.sheer_m(0) == pytest.approx(hull.depth_m)
    assert side.sheer.end[1] == hull.end_depth_m
    assert side.keel_m(0) == 0


@given(canoes(), st.floats(-1, 1))
def test_the_keel_line_is_the_parabola_through_the_heels(hull: Principal, u: float) -> None:
    side = profile(hull)
    heel = side.keel.start[0]

    drawn = side.keel.at((1 - u) / 2)

    assert drawn == pytest.approx((u * heel, hull.keel_rise_m * u * u), abs=SMALL)
    assert side.keel_m(u * heel) == pytest.approx(drawn[1], abs=SMALL)


@given(canoes())
def test_the_sheer_never_falls_on_its_way_to_the_end(hull: Principal) -> None:
    heights = [profile(hull).sheer.at(t)[1] for t in STEPS]

    assert all(higher >= lower - SMALL for lower, higher in pairwise(heights))


@given(canoes(), st.floats(0, 0.999))
def test_the_sheer_lies_above_the_keel_line_everywhere(hull: Principal, share: float) -> None:
    side = profile(hull)
    x = side.sheer.end[0] * share

    assert side.sheer_m(x) > side.keel_m(x)
    assert side.sheer_m(-x) == side.sheer_m(x)
    assert side.keel_m(-x) == side.keel_m(x)


@given(canoes())
def test_the_lines_are_fair_wherever_curves_meet_but_at_the_tips(hull: Principal) -> None:
    side = profile(hull)
    run = (side.sheer.mirrored(), side.sheer), *pairwise(side.stem), (side.stem[-1], side.keel)

    for curve, following in run:
        assert direction(curve.arrive, curve.end) == pytest.approx(
            direction(following.start, following.leave), abs=1e-6
        )


@given(canoes(rocker=False), st.floats(0, 1))
def test_a_hull_made_larger_has_the_same_lines_made_larger(hull: Principal, share: float) -> None:
    largest = min(10.7 / hull.length_m, 2 / hull.beam_m, 0.9 / hull.depth_m, 1.6 / hull.end_depth_m) * WITHIN
    times = 1 + (max(largest, 1) - 1) * share
    sizes = {f: getattr(hull, f) * times for f in ("length_m", "beam_m", "depth_m", "end_depth_m")}

    small, large = profile(hull), profile(replace(hull, **sizes))

    for a, b in zip(small.outline, large.outline, strict=True):
        for t in (0, 0.3, 0.7, 1):
            assert b.at(t) == pytest.approx([c * times for c in a.at(t)], abs=SMALL)


@given(canoes(), st.floats(0.1, 0.4))
def test_every_rib_runs_from_the_keel_line_to_the_sheer(hull: Principal, spacing: float) -> None:
    side = profile(hull)

    standing = ribs(side, spacing)

    assert [r.x_m for r in standing] == pytest.approx([-r.x_m for r in reversed(standing)])
    assert all(b.x_m - a.x_m == pytest.approx(spacing) for a, b in pairwise(standing))
    for rib in standing:
        assert rib.foot_m == side.keel_m(rib.x_m) < rib.head_m == side.sheer_m(rib.x_m)


def test_a_sixteen_footer_has_ribs_about_four_inches_apart() -> None:
    # Common practice, no published source: some forty to fifty ribs in a 16 ft canoe, cant ribs at the ends apart.
    hull = Principal(length_m=16 * 0.3048, beam_m=0.86, depth_m=0.31, end_depth_m=0.58)

    assert 40 <= len(ribs(profile(hull))) <= 50


@given(canoes(), st.floats(0.3, 0.99))
def test_a_plank_line_ends_on_the_stem_between_keel_and_sheer(hull: Principal, share: float) -> None:
    side = profile(hull)

    line = seam(side, share)

    assert on_stem(line, side.stem)
    for t in STEPS[1:-1]:
        x, z = line.at(t)
        assert z < side.sheer_m(min(x, side.sheer.end[0])) + SMALL


def test_a_recurved_stem_falls_back_above_its_foremost_point_and_the_others_do_not() -> None:
    tips = {}
    for stem in StemShape:
        hull = Principal(length_m=5, beam_m=0.9, depth_m=0.3, end_depth_m=0.6, stem=stem)
        tips[stem] = profile(hull).sheer.end[0]

    assert tips[StemShape.RECURVED] < tips[StemShape.PLUMB] == tips[StemShape.RAKED] == 2.5


def on_stem(line: Cubic, stem: tuple[Cubic, ...]) -> bool:
    return any(math.dist(piece.at(piece.t_where(1, line.end[1])), line.end) < SMALL for piece in stem)


def direction(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    far = math.dist(a, b)
    return ((b[0] - a[0]) / far, (b[1] - a[1]) / far)

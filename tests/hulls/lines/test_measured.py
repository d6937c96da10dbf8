"""Sizes from four measures: what any hull's must do, and whether they are a canoe's."""

import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from hulls.lines import DEFAULT, HULL_TYPES, HullType, LinesError, ManySizes, Principal, StemShape, measure, sizes_many
from hulls.lines.form import narrowing
from hulls.lines.principal import LIMITS
from tests.hulls.lines.strategies import WITHIN, canoes

FOOT, INCH = 0.3048, 0.0254  # exact: NIST SP 811 (2008), appendix B.6
SQUARE_FOOT = FOOT**2

types = st.sampled_from(list(HULL_TYPES.values()))
SIXTEEN_FOOTER = Principal(length_m=16 * FOOT, beam_m=34.5 * INCH, depth_m=12.5 * INCH, end_depth_m=24 * INCH)


@given(canoes(rocker=False), types, st.sampled_from(["length_m", "beam_m"]), st.floats(1.01, 1.2))
def test_a_longer_or_wider_hull_has_more_skin(hull: Principal, kind: HullType, field: str, times: float) -> None:
    larger = getattr(hull, field) * times
    if larger > LIMITS[field].high_m or (field == "beam_m" and larger >= hull.length_m / 2):
        return

    assert measure(replace(hull, **{field: larger}), kind).outside_area_m2 > measure(hull, kind).outside_area_m2


@given(canoes(rocker=False), types, st.floats(1.01, 1.2))
def test_a_deeper_hull_has_more_skin(hull: Principal, kind: HullType, times: float) -> None:
    deeper = replace_depths(hull, times)
    if deeper is None:
        return

    assert measure(deeper, kind).outside_area_m2 > measure(hull, kind).outside_area_m2


def replace_depths(hull: Principal, times: float) -> Principal | None:
    try:
        return replace(hull, depth_m=hull.depth_m * times, end_depth_m=hull.end_depth_m * times)
    except LinesError:
        return None


@given(canoes(rocker=False), types, st.floats(0, 1))
def test_area_goes_with_the_square_of_the_size_and_volume_with_its_cube(
    hull: Principal, kind: HullType, share: float
) -> None:
    largest = min(10.7 / hull.length_m, 2 / hull.beam_m, 0.9 / hull.depth_m, 1.6 / hull.end_depth_m) * WITHIN
    times = 1 + (max(largest, 1) - 1) * share
    larger = replace(hull, **{f: getattr(hull, f) * times for f in ("length_m", "beam_m", "depth_m", "end_depth_m")})

    small, large = measure(hull, kind), measure(larger, kind)

    assert large.outside_area_m2 == pytest.approx(small.outside_area_m2 * times**2)
    assert large.side_area_m2 == pytest.approx(small.side_area_m2 * times**2)
    assert large.volume_m3 == pytest.approx(small.volume_m3 * times**3)
    assert large.greatest_girth_m == pytest.approx(small.greatest_girth_m * times)
    assert large.spread_pct == pytest.approx(small.spread_pct)


@given(canoes(), types)
def test_sizes_keep_their_order(hull: Principal, kind: HullType) -> None:
    found = measure(hull, kind)

    assert 0 < found.inside_area_m2 < found.outside_area_m2
    assert 2 * found.side_area_m2 < found.outside_area_m2
    # Round a section amidships: longer than straight from sheer to keel to sheer, shorter than down and across.
    assert 2 * math.hypot(hull.depth_m, hull.beam_m / 2 * 0.9) < found.greatest_girth_m
    assert found.greatest_girth_m < 2 * hull.end_depth_m + hull.beam_m * 1.1
    assert found.volume_m3 < hull.length_m * hull.beam_m * hull.end_depth_m
    assert found.keel_length_m < hull.length_m
    assert found.sheer_length_m > found.keel_length_m
    # Two ways of cutting a section, which differ by hundredths where the ends sweep up: more, the higher they are.
    near = 4e-2 if hull.end_depth_m < 2.5 * hull.depth_m else 6e-2
    assert max(girth for _, girth in found.girths) == pytest.approx(found.greatest_girth_m, rel=near)


def test_a_round_bottom_without_tumblehome_has_the_girth_of_half_an_ellipse() -> None:
    # Of semi-axes 0.445 and 0.305 m: by elliptic integral of the second kind.
    plain = replace(HULL_TYPES["round"], form=replace(HULL_TYPES["round"].form, tumblehome=0.0))
    hull = Principal(length_m=5, beam_m=0.89, depth_m=0.305, end_depth_m=0.305, rocker_m=0, stem=StemShape.PLUMB)

    assert measure(hull, plain).greatest_girth_m == pytest.approx(1.188382, rel=1e-3)


@given(st.lists(canoes(rocker=False), min_size=1, max_size=70), types)
def test_many_hulls_at_once_are_each_measured_as_alone(hulls: list[Principal], kind: HullType) -> None:
    hulls = [replace(hull, rocker_m=None, stem=None) for hull in hulls]
    columns = [np.array([getattr(h, f) for h in hulls]) for f in ("length_m", "beam_m", "depth_m", "end_depth_m")]

    many = sizes_many(columns[0], columns[1], columns[2], columns[3], kind)

    for at in (0, len(hulls) // 2, len(hulls) - 1):
        alone = measure(hulls[at], kind)
        for field in fields(ManySizes):
            assert getattr(many, field.name)[at] == pytest.approx(getattr(alone, field.name)), field.name


def test_many_hulls_with_one_that_no_canoe_is_are_refused() -> None:
    with pytest.raises(LinesError) as caught:
        sizes_many(np.array([5.0, 50.0]), np.array([0.9, 0.9]), np.array([0.3, 0.3]), np.array([0.6, 0.6]))

    assert caught.value.field == "length_m"


def test_the_spread_is_half_the_range_between_the_fullest_and_the_finest_form() -> None:
    def area(fullness: float, bottom: float) -> float:
        form = replace(DEFAULT.form, fullness=DEFAULT.form.fullness + fullness, bottom=DEFAULT.form.bottom * bottom)
        return measure(SIXTEEN_FOOTER, replace(DEFAULT, form=form)).outside_area_m2

    full, fine = area(0.05, 1.25), area(-0.05, 0.75)

    assert measure(SIXTEEN_FOOTER).spread_pct == pytest.approx(100 * (full - fine) / (full + fine), abs=0.1)


def test_what_was_measured_goes_before_what_the_type_has() -> None:
    flat_keel = measure(replace(SIXTEEN_FOOTER, rocker_m=0.0, stem=StemShape.PLUMB), HULL_TYPES["river"])

    assert flat_keel.keel_length_m == pytest.approx(16 * FOOT - 2 * 0.8 * 24 * INCH, rel=1e-3)  # the plumb stem's run


@pytest.mark.parametrize(
    ("length_ft", "beam_in", "depth_in", "half_ellipsoid_sqft"),
    # Canoes of Adney and Chapelle, Bulletin 230 (Smithsonian Institution, 1964); plausibility only: the bulletin gives
    # no area, the half-ellipsoids of those dimensions are reckoned here, and a canoe's ends are higher and finer.
    [(14, 32, 14, 43.6), (15, 36.5, 11, 46.1), (18, 37, 13, 59.0), (18, 40, 18, 70.9)],
)
def test_bark_canoes_of_the_bulletin_have_plausible_areas(
    length_ft: float, beam_in: float, depth_in: float, half_ellipsoid_sqft: float
) -> None:
    hull = Principal(
        length_m=length_ft * FOOT, beam_m=beam_in * INCH, depth_m=depth_in * INCH, end_depth_m=1.6 * depth_in * INCH
    )

    found = measure(hull)

    assert found.outside_area_m2 / SQUARE_FOOT == pytest.approx(half_ellipsoid_sqft, rel=0.25)


def test_fullness_is_the_share_of_its_rectangle_that_a_plan_fills() -> None:
    share, _ = quad(lambda u: float(narrowing(0.7, np.array(u))), 0, 1)

    assert share == pytest.approx(0.7)

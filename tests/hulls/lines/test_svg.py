"""Path data read back by an independent SVG reader (svgelements)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Move
from svgelements import Path as SvgPath

from hulls.lines import Principal, profile, ribs, svg_path
from hulls.lines.svg import path_data, rib_data
from tests.hulls.lines.strategies import canoes

scales = st.floats(20, 200)
ROUNDING = 0.11  # a tenth of a unit, the precision of the path data


@given(canoes(), scales)
def test_the_outline_is_as_long_and_high_as_the_hull_at_its_scale(hull: Principal, scale: float) -> None:
    left, top, right, bottom = SvgPath(svg_path(profile(hull), scale)).bbox()

    assert (left, right) == pytest.approx((-hull.length_m / 2 * scale, hull.length_m / 2 * scale), abs=ROUNDING)
    assert (top, bottom) == pytest.approx((-hull.end_depth_m * scale, 0), abs=ROUNDING)


@given(canoes(), scales)
def test_rounding_does_not_add_up_along_the_outline(hull: Principal, scale: float) -> None:
    side = profile(hull)
    read = [seg for seg in SvgPath(path_data(side.outline, scale)) if not isinstance(seg, Move)]

    assert len(read) == len(side.outline)
    for segment, curve in zip(read, side.outline, strict=True):
        for t in (0, 0.25, 0.5, 0.75, 1):
            x, z = curve.at(t)
            point = segment.point(t)
            assert (point.x, point.y) == pytest.approx((x * scale, -z * scale), abs=ROUNDING)


@given(canoes(), scales)
def test_ribs_are_written_where_they_stand(hull: Principal, scale: float) -> None:
    standing = ribs(profile(hull), 0.3)
    strokes = [seg for seg in SvgPath(rib_data(standing, scale)) if not isinstance(seg, Move)]

    for stroke, rib in zip(strokes, standing, strict=True):
        assert (stroke.start.x, stroke.start.y) == pytest.approx((rib.x_m * scale, -rib.foot_m * scale), abs=ROUNDING)
        assert (stroke.end.x, stroke.end.y) == pytest.approx((rib.x_m * scale, -rib.head_m * scale), abs=ROUNDING)


@given(canoes())
def test_an_outline_costs_the_page_little(hull: Principal) -> None:
    assert len(svg_path(profile(hull), 40)) < 260

"""The body plan, read back by an independent SVG reader (svgelements)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Path as SvgPath

from hulls.lines import HULL_TYPES, HullType, Offsets, Principal, Taped
from hulls.lines.sections import UNITS_PER_M, body_plan, sections, sections_of_offsets
from tests.hulls.lines.strategies import canoes
from tests.hulls.lines.tables import half_ellipsoid

CANOE = Principal(length_m=4.88, beam_m=0.88, depth_m=0.31, end_depth_m=0.6)


@given(canoes(), st.sampled_from(list(HULL_TYPES.values())))
def test_the_fullest_section_is_as_wide_and_deep_as_the_hull(hull: Principal, kind: HullType) -> None:
    plan = body_plan(sections(hull, hull_type=kind))

    left, top, right, bottom = SvgPath(plan.fullest).bbox()
    assert (left, right) == pytest.approx((-hull.beam_m / 2 * UNITS_PER_M, hull.beam_m / 2 * UNITS_PER_M), abs=0.11)
    assert bottom - top == pytest.approx(hull.depth_m * UNITS_PER_M, abs=0.11)
    assert plan.beam_m == pytest.approx(hull.beam_m)


def test_after_sections_lie_left_and_forward_ones_right_within_the_drawing() -> None:
    plan = body_plan(sections(CANOE))
    left, top, width, height = map(float, plan.view_box.split())

    boxes = [SvgPath(d).bbox() for d in plan.sections]

    assert sum(box[2] <= 0.11 for box in boxes) == sum(box[0] >= -0.11 for box in boxes) == len(boxes) / 2
    for box in boxes:
        assert left <= box[0] <= box[2] <= left + width
        assert top <= box[1] <= box[3] <= top + height


def test_a_taped_breadth_widens_the_section_there() -> None:
    narrow = {cut.x_m: max(y for y, _ in cut.curve) for cut in sections(CANOE)}
    place = max(x for x in narrow if x < 1.5)

    wide = sections(CANOE, [Taped(x_m=2.44 + place, half_breadth_m=narrow[place] * 1.2)])

    assert max(y for cut in wide if cut.x_m == place for y, _ in cut.curve) == pytest.approx(1.2 * narrow[place])


def test_the_sections_of_a_table_are_its_own_points() -> None:
    offsets = Offsets.of_points(half_ellipsoid(2.5, 0.45, 0.3, 10, 8))

    cuts = sections_of_offsets(offsets)

    assert [cut.x_m for cut in cuts] == pytest.approx([station.x_m for station in offsets.stations])
    assert cuts[5].curve == tuple((y, z) for z, y in offsets.stations[5].points)
    assert body_plan(cuts).beam_m == pytest.approx(0.9)

"""The drawings, read back by an independent SVG reader (svgelements)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Path as SvgPath

from hulls.drawing import UNITS_PER_M, HullDrawing, draw_hull, floor_scale, sheet_scale
from hulls.lines import Principal
from hulls.skins import SkinKind
from tests.hulls.lines.strategies import canoes

SIXTEEN_FOOTER = Principal(length_m=4.88, beam_m=0.86, depth_m=0.31, end_depth_m=0.58)
ROUNDING = 0.11
skins = st.sampled_from(SkinKind)


def box(drawing: HullDrawing) -> tuple[float, float, float, float]:
    return tuple(SvgPath(drawing.outline).bbox())


def kinds(drawing: HullDrawing) -> set[str]:
    return {mark.kind for mark in drawing.marks}


@given(st.lists(canoes(), min_size=1, max_size=6), skins)
def test_all_hulls_on_the_floor_have_one_scale_and_find_room_on_their_sheet(
    hulls: list[Principal], skin: SkinKind
) -> None:
    scale = floor_scale(hulls)
    drawings = [draw_hull(hull, scale, skin) for hull in hulls]

    assert len({d.view_box for d in drawings}) == 1
    left, top, across, down = map(int, scale.view_box.split())
    for hull, drawing in zip(hulls, drawings, strict=True):
        x0, y0, x1, y1 = box(drawing)
        assert x1 - x0 == pytest.approx(hull.length_m * UNITS_PER_M, abs=2 * ROUNDING)
        assert (left <= x0, top <= y0, x1 <= left + across, y1 <= top + down) == (True,) * 4


@given(canoes(), skins, st.booleans())
def test_every_mark_stays_on_the_hull(hull: Principal, skin: SkinKind, outwales: bool) -> None:
    drawing = draw_hull(hull, sheet_scale(hull), skin, outwales=outwales)
    x0, y0, x1, y1 = box(drawing)

    for mark in drawing.marks:
        left, top, right, bottom = SvgPath(mark.d).bbox()
        assert x0 - ROUNDING <= left <= right <= x1 + ROUNDING
        assert y0 - ROUNDING <= top <= bottom <= y1 + ROUNDING


def test_a_bare_hull_shows_its_ribs_and_a_painted_one_does_not() -> None:
    scale = floor_scale([SIXTEEN_FOOTER])

    assert "ribs" in kinds(draw_hull(SIXTEEN_FOOTER, scale, SkinKind.BARE))
    assert "ribs" not in kinds(draw_hull(SIXTEEN_FOOTER, scale, SkinKind.ENAMEL, colour="#2f5d46"))


def test_tacks_show_along_canvas_only_while_the_outwales_are_off() -> None:
    scale = floor_scale([SIXTEEN_FOOTER])

    assert "tacks" in kinds(draw_hull(SIXTEEN_FOOTER, scale, SkinKind.CANVAS, outwales=False))
    assert "tacks" not in kinds(draw_hull(SIXTEEN_FOOTER, scale, SkinKind.CANVAS, outwales=True))
    assert "tacks" not in kinds(draw_hull(SIXTEEN_FOOTER, scale, SkinKind.BARE, outwales=False))


def test_a_sheet_shows_every_rib_and_the_floor_fewer() -> None:
    on_sheet = draw_hull(SIXTEEN_FOOTER, sheet_scale(SIXTEEN_FOOTER), SkinKind.BARE)
    on_floor = draw_hull(SIXTEEN_FOOTER, floor_scale([SIXTEEN_FOOTER]), SkinKind.BARE)

    assert on_sheet.marks[0].d.count("v") > 3 * on_floor.marks[0].d.count("v")


@pytest.mark.parametrize("skin", SkinKind)
def test_a_hull_on_the_floor_costs_at_most_700_bytes_of_path_data(skin: SkinKind) -> None:
    longest = replace(SIXTEEN_FOOTER, length_m=6.1)
    drawing = draw_hull(longest, floor_scale([longest]), skin, colour="#2f5d46", outwales=False)

    assert len(drawing.outline) + sum(len(mark.d) for mark in drawing.marks) <= 700


def test_an_empty_floor_still_has_a_scale() -> None:
    assert floor_scale([]).view_box == "-128 -31 256 32"

"""What a hull is drawn like at each point of its way."""

from typing import Any

import pytest
from svgelements import Path as SvgPath

from hulls.drawing import UNITS_PER_M, floor_scale
from hulls.lines import Offsets
from hulls.models import Hull
from hulls.offsets.kept import kept
from hulls.sizes import drawn_from
from hulls.skins import SkinKind
from stages.engine.vocab import Condition, Surface
from stages.queries.looks import Look, drawing_of, look_of
from tests.hulls.lines.tables import half_ellipsoid
from tests.stages.engine.trade import a_coat, a_work

CAME_WITH = dict.fromkeys(Surface, Condition.UNKNOWN)
BOAT = Hull(
    tag="H-1",
    length_m=4.88,
    beam_m=0.86,
    depth_m=0.31,
    end_depth_m=0.58,
    colour="#123456",
    old_colour="#654321",
)


@pytest.mark.parametrize(
    ("state", "look"),
    [
        ({"old": CAME_WITH}, Look(SkinKind.OLD_PAINT, "#654321", True)),
        ({"old": CAME_WITH, "finished": ["unfit"]}, Look(SkinKind.OLD_PAINT, "#654321", False)),
        ({"old": {Surface.PLANKING: Condition.SOUND}, "finished": ["unfit"]}, Look(SkinKind.BARE, None, False)),
        ({"coats": [a_coat("oil")], "finished": ["unfit"]}, Look(SkinKind.OILED, None, False)),
        ({"coats": [a_coat("oil"), a_coat("canvas")], "finished": ["unfit"]}, Look(SkinKind.CANVAS, None, False)),
        ({"coats": [a_coat("canvas"), a_coat("preservative")]}, Look(SkinKind.TREATED, None, True)),
        ({"coats": [a_coat("canvas"), a_coat("latex_filler")]}, Look(SkinKind.LATEX_FILLER, None, True)),
        ({"coats": [a_coat("canvas"), a_coat("oil_filler")]}, Look(SkinKind.OIL_FILLER, None, True)),
        ({"coats": [a_coat("canvas"), a_coat("primer")]}, Look(SkinKind.PRIMER, None, True)),
        ({"coats": [a_coat("primer"), a_coat("enamel")]}, Look(SkinKind.ENAMEL, "#123456", True)),
        ({"coats": [a_coat("enamel")], "finished": ["unfit", "refit"]}, Look(SkinKind.ENAMEL, "#123456", True)),
        ({"coats": [a_coat("varnish"), a_coat("primer")]}, Look(SkinKind.PRIMER, None, True)),
    ],
)
def test_a_hull_looks_like_what_lies_outermost_on_it(state: dict[str, Any], look: Look) -> None:
    assert look_of(BOAT, a_work(**state)) == look


def test_it_is_drawn_from_its_own_numbers_in_its_own_colour() -> None:
    scale = floor_scale([drawn_from(BOAT)])
    painted = drawing_of(BOAT, a_work(coats=[a_coat("enamel")]), scale)
    longer = Hull(
        **{**{f.name: getattr(BOAT, f.name) for f in Hull._meta.fields if f.name != "owner"}, "length_m": 5.5}
    )
    assert painted.fill == "#123456"
    assert drawing_of(longer, a_work(coats=[a_coat("enamel")]), scale).outline != painted.outline


def test_with_a_table_of_offsets_it_is_drawn_as_the_table_has_it() -> None:
    work, table = a_work(coats=[a_coat("enamel")]), Offsets.of_points(half_ellipsoid(2.6, 0.46, 0.33, 12, 8))
    plain = Hull(tag="H-2", length_m=4.88, beam_m=0.86, depth_m=0.31, end_depth_m=0.58)
    known = Hull(tag="H-2", length_m=4.88, beam_m=0.86, depth_m=0.31, end_depth_m=0.58, lines_table=kept(table))
    scale = floor_scale([drawn_from(plain), drawn_from(known)])

    drawn = drawing_of(known, work, scale)

    assert drawn.outline != drawing_of(plain, work, scale).outline
    left, top, right, foot = SvgPath(drawn.outline).bbox()
    assert (right - left, foot - top) == pytest.approx((5.2 * UNITS_PER_M, 0.33 * UNITS_PER_M), abs=0.2)
    assert len(drawn.outline) < 1.2 * len(drawing_of(plain, work, scale).outline)

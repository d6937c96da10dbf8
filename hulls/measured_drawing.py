"""A hull drawn to its own measures, each measure marked where the tape was held: from the side, and cut amidships."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hulls.drawing import UNITS_PER_M, HullDrawing, draw_hull, sheet_scale
from hulls.lines import HullType, Principal
from hulls.lines.section import section
from hulls.skins import SkinKind

TICK = 3.0  # half the stroke at the end of a measure, in units of the drawing
BESIDE_M, BELOW_M, ABOVE_M = 0.16, 0.16, 0.1  # from the hull to a measure's line
WORDS_M = 1.15  # room for the words beside the end
SECTION_UNITS = 100  # across the beam


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One measure: its line with a stroke at either end, and the words at it."""

    d: str
    words: str
    x: float
    y: float
    anchor: str = "middle"
    on_hull: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredDrawing:
    """The side view and the section, ready for `components/measured_hull.svg.html`."""

    hull: HullDrawing
    view_box: str
    measures: tuple[Measure, ...]
    section: str
    section_box: str
    section_measures: tuple[Measure, ...]


def draw_measured(
    hull: Principal, hull_type: HullType, words: Mapping[str, str], skin: SkinKind = SkinKind.ENAMEL
) -> MeasuredDrawing:
    """Draw a hull with its measures.

    Parameters
    ----------
    hull : Principal
        Its own numbers.
    hull_type : HullType
        What its section is like.
    words : mapping of str to str
        What is written at each measure, by its name in `Principal`: a name, or a length.
    skin : SkinKind
        What is outermost.
    """
    half, end, depth = (value * UNITS_PER_M for value in (hull.length_m / 2, hull.end_depth_m, hull.depth_m))
    beside, below, above, room = (value * UNITS_PER_M for value in (BESIDE_M, BELOW_M, ABOVE_M, WORDS_M))
    left = -half - beside
    measures = (
        _level(-half, half, below, words["length_m"], below + 7.5),
        _plumb(left, -end, 0.0, words["end_depth_m"], x=left - 4, anchor="end"),
        _plumb(0.0, -depth, 0.0, words["depth_m"], x=4.0, anchor="start", on_hull=True),
    )
    box = (left - room, -end - above, 2 * half + beside + room + above, end + above + below + 12)
    cut, high = _section(hull, hull_type)
    return MeasuredDrawing(
        hull=draw_hull(hull, sheet_scale(hull), skin),
        view_box=" ".join(f"{value:.0f}" for value in box),
        measures=measures,
        section=cut,
        section_box=f"{-SECTION_UNITS / 2 - 8:.0f} {-high - 22:.0f} {SECTION_UNITS + 16:.0f} {high + 28:.0f}",
        section_measures=(_level(-SECTION_UNITS / 2, SECTION_UNITS / 2, -high - 7, words["beam_m"], -high - 12),),
    )


def _level(start: float, end: float, y: float, words: str, words_y: float) -> Measure:
    d = f"M{start:.1f} {y:.1f}H{end:.1f}M{start:.1f} {y - TICK:.1f}v{2 * TICK:g}M{end:.1f} {y - TICK:.1f}v{2 * TICK:g}"
    return Measure(d=d, words=words, x=0.0, y=round(words_y, 1))


def _plumb(at: float, top: float, foot: float, words: str, *, x: float, anchor: str, on_hull: bool = False) -> Measure:
    d = f"M{at:.1f} {top:.1f}V{foot:.1f}M{at - TICK:.1f} {top:.1f}h{2 * TICK:g}M{at - TICK:.1f} {foot:.1f}h{2 * TICK:g}"
    middle = (top + foot) / 2 + 2.5
    return Measure(d=d, words=words, x=round(x, 1), y=round(middle, 1), anchor=anchor, on_hull=on_hull)


def _section(hull: Principal, hull_type: HullType) -> tuple[str, float]:
    """The outline amidships from sheer to sheer, and how high it stands, in units of its drawing."""
    form = hull_type.form
    cut = section(np.array([form.bottom]), np.array([form.tumblehome]), np.array([0.0]), round_points=16, side_points=6)
    scale = SECTION_UNITS / 2 / float(cut.breadth[0].max())
    high = hull.depth_m * SECTION_UNITS / hull.beam_m
    right = [(float(b) * scale, -float(h) * high) for b, h in zip(cut.breadth[0], cut.height[0], strict=True)]
    points = [*((-x, y) for x, y in reversed(right)), *right[1:]]
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points), high

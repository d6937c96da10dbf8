"""A hull in side view, ready for `components/hull.svg.html`: path data, colours and marks of the skin of today."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from hulls.lines.bezier import Cubic
from hulls.lines.principal import Principal
from hulls.lines.profile import RIB_SPACING_M, Profile, profile, ribs, seam, stem_piece
from hulls.lines.svg import path_data, rib_data, svg_path
from hulls.skins import SkinKind, shade, skin_colour

UNITS_PER_M = 40  # of the drawing; a tenth of a unit is 2.5 mm
FLOOR_RIB_M = 4 * RIB_SPACING_M  # every fourth rib: closer ones run together at the floor's scale
BILGE_SHARE = 0.4  # where the side turns into the bottom, of the depth


@dataclass(frozen=True, slots=True)
class Scale:
    """The sheet that a hull is drawn on, and how far apart its ribs are, in metres.

    Hulls on one scale can be compared by eye.
    """

    span_m: float
    head_m: float
    rib_m: float = FLOOR_RIB_M

    @property
    def view_box(self) -> str:
        """The `viewBox` of the drawing, the base line near its foot."""
        across, up = round(self.span_m * UNITS_PER_M), round(self.head_m * UNITS_PER_M)
        return f"{-across // 2} {-up} {across} {up + 1}"


@dataclass(frozen=True, slots=True)
class Mark:
    """One line or patch over the skin: its kind is the CSS class, `d` the path data."""

    kind: str
    d: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HullDrawing:
    """What the template needs, every number already written out."""

    view_box: str
    outline: str
    fill: str
    line: str
    sheer: str
    outwales: bool
    marks: tuple[Mark, ...]


Draw = Callable[[Profile, Scale], Mark]


def floor_scale(hulls: Iterable[Principal]) -> Scale:
    """Return the one scale on which all these hulls find room beside a ring."""
    sizes = [(p.length_m, p.end_depth_m) for p in hulls]
    longest, highest = max((s[0] for s in sizes), default=0), max((s[1] for s in sizes), default=0)
    return Scale(max(6.4, longest + 1.1), max(0.78, highest + 0.08))


def sheet_scale(hull: Principal) -> Scale:
    """Return the scale on which one hull fills the width."""
    return Scale(hull.length_m + 0.2, hull.end_depth_m + 0.06, RIB_SPACING_M)


@lru_cache(maxsize=4096)
def draw_hull(
    hull: Principal, scale: Scale, skin: SkinKind, *, colour: str | None = None, outwales: bool = True
) -> HullDrawing:
    """Draw a hull in side view with the skin that it has today.

    Parameters
    ----------
    hull : Principal
        Its own numbers.
    scale : Scale
        From `floor_scale` or `sheet_scale`.
    skin : SkinKind
        What is outermost.
    colour : str or None
        Of the enamel or the old paint, as ``#rrggbb``.
    outwales : bool
        Whether the outwales are on; without them the edge is thin and the canvas shows its tacks.
    """
    side = profile(hull)
    fill = skin_colour(skin, colour)
    return HullDrawing(
        view_box=scale.view_box,
        outline=svg_path(side, UNITS_PER_M),
        fill=fill,
        line=shade(fill),
        sheer=path_data(side.whole_sheer, UNITS_PER_M),
        outwales=outwales,
        marks=_marks(side, scale, skin, outwales),
    )


def _marks(side: Profile, scale: Scale, skin: SkinKind, outwales: bool) -> tuple[Mark, ...]:
    marks = [MARKS[kind](side, scale) for kind in SKIN_MARKS[skin]]
    if skin in CANVASED and not outwales:
        marks.append(_line("tacks", 0.93)(side, scale))
    return tuple(marks)


def _line(kind: str, *shares: float) -> Draw:
    def draw(side: Profile, scale: Scale) -> Mark:
        halves = [seam(side, share) for share in shares]
        return Mark(kind, "".join(path_data((half.mirrored(), half), UNITS_PER_M) for half in halves))

    return draw


def _ribs(side: Profile, scale: Scale) -> Mark:
    return Mark("ribs", rib_data(ribs(side, scale.rib_m), UNITS_PER_M))


def _bilge(side: Profile, scale: Scale) -> Mark:
    half = seam(side, BILGE_SHARE)
    foot = _stem_below(side, half.end[1])
    after = tuple(c.mirrored() for c in reversed(foot))
    return Mark("bilge", path_data((half.mirrored(), half, *foot, side.keel, *after), UNITS_PER_M) + "z")


def _stem_below(side: Profile, height_m: float) -> tuple[Cubic, ...]:
    piece = stem_piece(side, height_m)
    rest = side.stem[side.stem.index(piece) + 1 :]
    return (piece.after(piece.t_where(1, height_m)), *rest)


MARKS: dict[str, Draw] = {
    "ribs": _ribs,
    "bilge": _bilge,
    "seams": _line("seam", 0.7, 0.36),
    "seam": _line("seam", 0.7),
    "scuff": _line("scuff", 0.34),
    "gleam": _line("gleam", 0.78),
}
SKIN_MARKS = {
    SkinKind.OLD_PAINT: ("bilge", "scuff"),
    SkinKind.BARE: ("ribs", "seams"),
    SkinKind.OILED: ("ribs", "seam"),
    SkinKind.CANVAS: ("bilge",),
    SkinKind.TREATED: ("bilge",),
    SkinKind.LATEX_FILLER: ("bilge",),
    SkinKind.OIL_FILLER: ("bilge",),
    SkinKind.PRIMER: ("bilge",),
    SkinKind.ENAMEL: ("bilge", "gleam"),
}
CANVASED = frozenset(SkinKind) - {SkinKind.OLD_PAINT, SkinKind.BARE, SkinKind.OILED}

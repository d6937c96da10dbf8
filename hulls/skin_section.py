"""The section through the skin, ready for `components/section.svg.html`: its bands and their labels."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from hulls.skins import shade

SHEET = 1000  # units of the drawing's height; its width is 100
LEADER_FROM, LEADER_TO = 74, 100  # where the leader lines run, in units of the width


class LayerKind(StrEnum):
    """What a layer is made of: the wood, or a product of the kind that `shop` names alike."""

    RIBS = "ribs"
    PLANKING = "planking"
    OIL = "oil"
    SEALER = "sealer"
    VARNISH = "varnish"
    CANVAS = "canvas"
    PRESERVATIVE = "preservative"
    LATEX_FILLER = "latex_filler"
    OIL_FILLER = "oil_filler"
    PRIMER = "primer"
    ENAMEL = "enamel"


# Thickness on paper and colour: an order of size for the eye, no measure.
BODY = {
    LayerKind.RIBS: (34, "#9c6b3c"),
    LayerKind.PLANKING: (44, "#c9965f"),
    LayerKind.OIL: (12, "#d9a14f"),
    LayerKind.SEALER: (11, "#e3c088"),
    LayerKind.VARNISH: (12, "#c98f3d"),
    LayerKind.CANVAS: (30, "#e9dfc6"),
    LayerKind.PRESERVATIVE: (12, "#b3bd8c"),
    LayerKind.LATEX_FILLER: (24, "#a9a79c"),
    LayerKind.OIL_FILLER: (24, "#9c968a"),
    LayerKind.PRIMER: (22, "#dde0dc"),
    LayerKind.ENAMEL: (15, "#2f5d46"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of the skin.

    Parameters
    ----------
    kind : LayerKind
        What it is made of.
    name, note : str
        The label and the line under it, ready to read: the coat, its date.
    share : float
        How much of it is there or dry: 0 is planned, between 0 and 1 is going on or drying, 1 is done.
    colour : str or None
        Its own colour as ``#rrggbb``, for enamel.
    href : str
        Where its photos are, if anywhere.
    """

    kind: LayerKind
    name: str
    note: str = ""
    share: float = 1.0
    colour: str | None = None
    href: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One layer as it is drawn; numbers are whole units of the drawing."""

    layer: Layer
    top: int
    height: int
    done: int
    rest: int
    fill: str
    line: str
    grain: str
    leader: str

    @property
    def planned(self) -> bool:
        """Whether nothing of it is there yet."""
        return self.layer.share <= 0

    @property
    def now(self) -> bool:
        """Whether it is the layer that goes on or dries now."""
        return 0 < self.layer.share < 1


def draw_section(layers: Sequence[Layer]) -> tuple[Band, ...]:
    """Stack the layers of a skin.

    Parameters
    ----------
    layers : sequence of Layer
        From the wood outward.

    Returns
    -------
    tuple of Band
        From the outside inward, as they lie on the sheet; together they fill its height.
    """
    whole = sum(BODY[layer.kind][0] for layer in layers)
    bands, above = [], 0
    for row, layer in enumerate(reversed(layers)):
        top = round(above * SHEET / whole)
        above += BODY[layer.kind][0]
        height = round(above * SHEET / whole) - top
        bands.append(_band(layer, top, height, label_at=round((row + 0.5) * SHEET / len(layers))))
    return tuple(bands)


def _band(layer: Layer, top: int, height: int, label_at: int) -> Band:
    fill = layer.colour or BODY[layer.kind][1]
    done = round(LEADER_FROM * min(max(layer.share, 0), 1))
    middle = top + height // 2
    return Band(
        layer=layer,
        top=top,
        height=height,
        done=done,
        rest=LEADER_FROM - done,
        fill=fill,
        line=shade(fill),
        grain=_grain(layer.kind, top, height),
        leader=f"M{LEADER_FROM} {middle}h5L95 {label_at}H{LEADER_TO}",
    )


def _grain(kind: LayerKind, top: int, height: int) -> str:
    """Return strokes that tell wood by its grain and canvas by its weave."""
    if kind in (LayerKind.RIBS, LayerKind.PLANKING):
        lines = (top + height * n // 4 for n in (1, 2, 3))
        sway = height // 12
        return "".join(f"M0 {y}q{LEADER_FROM // 4}-{sway} {LEADER_FROM // 2} 0t{LEADER_FROM // 2} 0" for y in lines)
    if kind is LayerKind.CANVAS:
        return "".join(
            f"M{x} {top + height // 6}q3 {height // 3} 0 {height * 2 // 3}" for x in range(3, LEADER_FROM - 1, 4)
        )
    return ""

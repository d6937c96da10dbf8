"""How a hull's skin looks at each step of the work: the kinds of skin and their colours on paper."""

import re
from enum import StrEnum

HEX = re.compile(r"#[0-9a-fA-F]{6}")


class SkinKind(StrEnum):
    """What is outermost on a hull today."""

    OLD_PAINT = "old_paint"
    BARE = "bare"
    OILED = "oiled"
    CANVAS = "canvas"
    TREATED = "treated"
    LATEX_FILLER = "latex_filler"
    OIL_FILLER = "oil_filler"
    PRIMER = "primer"
    ENAMEL = "enamel"


COLOURS = {
    SkinKind.OLD_PAINT: "#76857a",
    SkinKind.BARE: "#cf9d66",
    SkinKind.OILED: "#b47a3e",
    SkinKind.CANVAS: "#e8dcbd",
    SkinKind.TREATED: "#bcc39a",
    SkinKind.LATEX_FILLER: "#a7a59b",
    SkinKind.OIL_FILLER: "#9c968a",
    SkinKind.PRIMER: "#dde0dc",
    SkinKind.ENAMEL: "#2f5d46",
}
AFTER = {  # by the kind of product that lies outermost
    "oil": SkinKind.OILED,
    "sealer": SkinKind.OILED,
    "varnish": SkinKind.OILED,
    "canvas": SkinKind.CANVAS,
    "preservative": SkinKind.TREATED,
    "latex_filler": SkinKind.LATEX_FILLER,
    "oil_filler": SkinKind.OIL_FILLER,
    "primer": SkinKind.PRIMER,
    "enamel": SkinKind.ENAMEL,
}
WORN = "#a8a294"  # what weather mixes into an old colour


def skin_after(product_kind: str | None) -> SkinKind:
    """Return what a hull looks like with a product of this kind outermost; with None, bare."""
    return SkinKind.BARE if product_kind is None else AFTER[product_kind]


def skin_colour(kind: SkinKind, colour: str | None = None) -> str:
    """Return the colour of a skin as ``#rrggbb``.

    Parameters
    ----------
    kind : SkinKind
        What is outermost.
    colour : str or None
        The colour of the enamel or of the old paint as ``#rrggbb``; other skins have their own and pass it over.

    Raises
    ------
    ValueError
        If `colour` is not of that form.
    """
    if colour is None or kind not in (SkinKind.ENAMEL, SkinKind.OLD_PAINT):
        return COLOURS[kind]
    return mix(colour, WORN, 0.45 if kind is SkinKind.OLD_PAINT else 0)


def shade(colour: str, share: float = 0.38) -> str:
    """Return a darker tone of a colour, for its outline and its shadow.

    Parameters
    ----------
    colour : str
        As ``#rrggbb``.
    share : float
        How much of black is mixed in, 0 to 1.
    """
    return mix(colour, "#000000", share)


def mix(colour: str, other: str, share: float) -> str:
    """Return `colour` with a `share` (0 to 1) of `other` mixed in, channel by channel."""
    pairs = zip(_channels(colour), _channels(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def _channels(colour: str) -> tuple[int, int, int]:
    if not HEX.fullmatch(colour):
        raise ValueError(f"A colour is written as #rrggbb, not {colour!r}.")
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)

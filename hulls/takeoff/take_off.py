"""The take-off: all that one hull needs, from its sizes, its work, the products and the shop's practice."""

import math
from collections.abc import Iterable, Sequence

from hulls.lines import Sizes
from hulls.takeoff import canvas, coats, sundries, tacks, timber
from hulls.takeoff.cover import cover
from hulls.takeoff.items import Draft, Item, PackCount, TakeOff
from hulls.takeoff.material import Material
from hulls.takeoff.practice import USUAL, Practice
from hulls.takeoff.terms import HAIR
from hulls.takeoff.whole import in_pieces
from hulls.takeoff.work import Work


def take_off(sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice = USUAL) -> TakeOff:
    """Reckon what a hull needs.

    Parameters
    ----------
    sizes : Sizes
        Of the hull, from its lines.
    work : Work
        What is to be done on it.
    materials : sequence of Material
        The products, of each kind the one that is to be used first: later ones serve where rolls, grits or parts of
        the hull ask for another.
    practice : Practice
        How the shop works.

    Returns
    -------
    TakeOff
        The canvas, an item a product with its packs, and the kinds of which too little is known.
    """
    cloth, roll = canvas.cut(sizes, materials, practice) if work.canvas else (None, None)
    found, unknown = beside_canvas(sizes, work, materials, practice)
    if cloth is not None and roll is None:
        unknown = (canvas.KIND, *unknown)
    return TakeOff(
        canvas=cloth,
        items=tuple(_item(draft) for draft in ((roll, *found) if roll else found)),
        unknown=unknown,
    )


def beside_canvas(
    sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice
) -> tuple[tuple[Draft, ...], tuple[str, ...]]:
    """Give the items but the canvas before their packs are chosen, and the kinds of which too little is known."""
    brushed = list(coats.drafts(sizes, work, materials, practice))
    asked = [
        *tacks.drafts(sizes, work, materials, practice),
        *brushed,
        *sundries.drafts(sizes, work, materials, practice, _known(brushed)),
        *timber.drafts(sizes, work, materials, practice),
    ]
    return _known(asked), tuple(dict.fromkeys(kind for kind in asked if isinstance(kind, str)))


def _known(asked: Iterable[Draft | str]) -> tuple[Draft, ...]:
    return tuple(draft for draft in asked if isinstance(draft, Draft))


def _item(draft: Draft) -> Item:
    amount, material = draft.amount, draft.material
    return Item(
        product=material.name,
        kind=material.kind,
        amount=amount,
        unit=material.unit,
        for_what=draft.for_what,
        packs=_packs(draft, amount),
        because=draft.because,
        piece=draft.piece,
        pieces=_pieces(material, amount),
    )


def _pieces(material: Material, amount: float) -> int | None:
    if material.unit != "kg" or material.pieces_per_kg is None:
        return None
    return math.ceil(amount * material.pieces_per_kg - HAIR)


def _packs(draft: Draft, amount: float) -> tuple[PackCount, ...]:
    """Choose the packs; lengths of stock by how many whole pieces each of them gives."""
    packs, piece = draft.material.packs, draft.piece
    if piece is None:
        return cover(amount, packs)
    gives = in_pieces(packs, piece)
    chosen = cover(round(amount / piece), tuple(gives))
    return tuple(PackCount(pack=gives[found.pack], count=found.count) for found in chosen)

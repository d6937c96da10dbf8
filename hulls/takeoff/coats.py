"""Everything that is brushed on: area, coats, spreading rate, thirst of the surface, loss."""

from collections.abc import Iterator, Sequence

from hulls.lines import Sizes
from hulls.takeoff import canvas
from hulls.takeoff.items import Draft
from hulls.takeoff.material import Material, first_of
from hulls.takeoff.practice import USUAL, Practice
from hulls.takeoff.terms import Term, over, start, times, worth
from hulls.takeoff.work import Coats, Work
from hulls.wording import gettext_noop

FOR_WHAT = {
    "oil": gettext_noop("To oil the bare planking"),
    "sealer": gettext_noop("To seal the wood"),
    "varnish": gettext_noop("To varnish"),
    "preservative": gettext_noop("Against rot in the canvas; put on outdoors"),
    "latex_filler": gettext_noop("To fill the weave"),
    "oil_filler": gettext_noop("To fill the weave"),
    "primer": gettext_noop("To prime"),
    "enamel": gettext_noop("To paint"),
    "stripper": gettext_noop("To take the old finish off"),
    "cleaner": gettext_noop("To wash the bare wood"),
}
KEPT = gettext_noop("share that ends up on the hull, the rest stays in pot and brush")
SPREADS = gettext_noop("spreading rate of one coat")


def area(surface: str, sizes: Sizes, practice: Practice) -> tuple[Term, ...]:
    """Begin a sum with the area of a surface."""
    match surface:
        case "planking":
            return (start(gettext_noop("Planking, outside"), sizes.outside_area_m2, "m2"),)
        case "skin":
            return (start(gettext_noop("Canvas on the hull"), sizes.outside_area_m2, "m2"),)
        case "inside":
            smooth = start(gettext_noop("Inside, as if it were smooth"), sizes.inside_area_m2, "m2")
            return (smooth, times(gettext_noop("for ribs and their edges"), practice.inside_roughness))
    length = start(gettext_noop("Brightwork: length of the hull"), sizes.length_m, "m")
    return (length, times(gettext_noop("gunwales, decks, thwarts and seats"), practice.brightwork_m2_per_m, "m2/m"))


def coat_amount(
    material: Material, surface: str, sizes: Sizes, practice: Practice = USUAL, *, first: bool = False
) -> float | None:
    """Give what one coat takes by the label: as many coats as a take-off has, one after the other, come to its amount.

    Parameters
    ----------
    material : Material
        What goes on; for canvas the coat is its blank.
    surface : str
        Where it goes on; one of `hulls.takeoff.work.SURFACES`.
    sizes : Sizes
        Of the hull.
    practice : Practice
        How the shop works.
    first : bool
        The first coat of its kind there, for which the surface may thirst.

    Returns
    -------
    float or None
        In the product's unit; None where its label says neither how far it goes nor how thick it lies.
    """
    if material.kind == canvas.KIND:
        return canvas.amount(material, sizes, practice)
    if material.covers_m2 is None:
        return None
    count = practice.thirst.get(material.kind, 1.0) if first else 1.0
    return worth((*area(surface, sizes, practice), times("", count), *_spread(material, material.covers_m2)))


def drafts(sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice) -> Iterator[Draft | str]:
    """Give an item for each kind of coat, stripper and cleaner among them; a kind's name where no rate is known."""
    for kind in work.kinds:
        if kind != canvas.KIND:
            yield _draft(kind, work.of_kind(kind), sizes, materials, practice)
    strips = tuple(Coats(surface=surface, kind="stripper", coats=2) for surface in work.strips)
    if strips:
        yield _draft("stripper", strips, sizes, materials, practice)
    if work.wash:
        both = tuple(Coats(surface=surface, kind="cleaner", coats=1) for surface in ("planking", "inside"))
        yield _draft("cleaner", both, sizes, materials, practice)


def _draft(
    kind: str, coats: Sequence[Coats], sizes: Sizes, materials: Sequence[Material], practice: Practice
) -> Draft | str:
    material = first_of(materials, kind)
    if material is None or material.covers_m2 is None:
        return kind
    because = tuple(
        term
        for found in coats
        for term in (*area(found.surface, sizes, practice), *_laid(found, material, practice, material.covers_m2))
    )
    return Draft(material=material, for_what=FOR_WHAT.get(kind, ""), because=because)


def _laid(coats: Coats, material: Material, practice: Practice, covers_m2: float) -> Iterator[Term]:
    thirst = practice.thirst.get(coats.kind, 1.0)
    if thirst == 1.0:
        yield times(gettext_noop("coats"), coats.coats)
    else:
        words = gettext_noop("coats, the first counted for more, since the surface soaks it up")
        yield times(words, coats.coats - 1 + thirst)
    yield from _spread(material, covers_m2)


def _spread(material: Material, covers_m2: float) -> Iterator[Term]:
    yield over(SPREADS, covers_m2, f"m2/{material.unit}")
    if material.loss:
        yield over(KEPT, 1.0 - material.loss)

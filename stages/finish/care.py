"""How this very finish is looked after, and when to look at it again: from the products that lie on the hull.

All of it is common practice, no published source; it names no product and gives way to the label of each.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from hulls.wording import gettext_noop
from stages.engine.vocab import ProductKind, Surface
from stages.engine.work import Work

Stacks = Mapping[Surface, tuple[ProductKind, ...]]
WEEKS_TO_HARDEN = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """When to look at it again, months after the hand-over, and what to look for."""

    months: int
    text: str


HARDENS = gettext_noop(
    "Paint and varnish go on hardening for about four weeks after they feel dry. Until then no straps pulled tight, no "
    "cover on the skin, nothing heavy laid on it."
)
WASH = gettext_noop(
    "Rinse it with fresh water after use and wash it with mild soap and a soft cloth: no solvents, no pressure washer, "
    "no scouring pads."
)
SHADE = gettext_noop(
    "Keep it under a roof, upside down on padded supports at the gunwales, off the ground, with air all round it. Sun "
    "and standing water wear a finish more than paddling does; a tight plastic cover holds damp against it."
)
CANVAS = gettext_noop(
    "Never drag it over stones or leave it standing in water. A scuff through the paint lets water into the canvas: "
    "dry it, and touch it up the same season."
)
FILLER = {
    ProductKind.LATEX_FILLER: gettext_noop(
        "The canvas is filled with a latex filler under a primer. Touch bare spots up with primer first, then paint."
    ),
    ProductKind.OIL_FILLER: gettext_noop(
        "The canvas is filled with an oil-based filler, which stays hard and can crack under a blow. Seal a crack soon."
    ),
}
PRESERVATIVE = gettext_noop(
    "The canvas was treated against rot. Where it is laid bare, wear gloves and follow the caution on the label."
)
ENAMEL = gettext_noop(
    "Dull paint is sanded lightly and takes another coat; thick old layers crack, so do not add many."
)
VARNISH = gettext_noop(
    "Varnish lasts while its gloss does. Where it turns dull, sand lightly and put a coat on before the wood greys; "
    "where it flakes, take it off down to sound varnish first."
)
SEALER = gettext_noop("A water-based sealer lies under the varnish: it does not stand the sun by itself.")
OIL = gettext_noop(
    "Oiled wood is oiled again when water no longer beads on it. Oily rags can take fire by themselves: spread them "
    "flat outdoors to dry, or keep them under water in a lidded metal can."
)
DUST = gettext_noop(
    "Before you sand, scrape or strip anything yourself: wear a dust mask that fits, keep dust off children and food, "
    "and follow the label and the safety data sheet."
)
LEAD = gettext_noop(
    "The old finish on this boat was tested and held lead. What of it still lies on the boat must not be sanded, "
    "scraped or heated dry: ask us, or whoever is licensed for it where you live."
)


def care_of(stacks: Stacks, *, lead: bool) -> tuple[str, ...]:
    """What looking after this finish asks for, a sentence or two each.

    Parameters
    ----------
    stacks : mapping of Surface to tuple of ProductKind
        What lies on each surface, from the wood outward.
    lead : bool
        A test found lead in the old finish, and some of that is still on.
    """
    skin, wood = stacks.get(Surface.SKIN, ()), _wood(stacks)
    films = {ProductKind.ENAMEL, ProductKind.VARNISH, ProductKind.SEALER}
    asked = (
        (lead, LEAD),
        (bool(films & {*skin, *wood}), HARDENS),
        (True, WASH),
        (True, SHADE),
        (ProductKind.CANVAS in skin, CANVAS),
        *((kind in skin, text) for kind, text in FILLER.items()),
        (ProductKind.PRESERVATIVE in skin, PRESERVATIVE),
        (ProductKind.ENAMEL in skin, ENAMEL),
        (ProductKind.VARNISH in wood, VARNISH),
        (ProductKind.SEALER in wood, SEALER),
        (_oiled(stacks), OIL),
        (True, DUST),
    )
    return tuple(text for wanted, text in asked if wanted)


def care_of_work(work: Work) -> tuple[str, ...]:
    """The same for a hull in work, by what lies on it at this moment."""
    stacks = {surface: tuple(work.product(coat).kind for coat in coats) for surface, coats in work.state.stacks.items()}
    return care_of(stacks, lead=bool(work.state.lead) and bool(work.state.old_finish))


def looks_at(stacks: Stacks) -> tuple[Look, ...]:
    """When to look at it again, the nearest first."""
    skin, wood = stacks.get(Surface.SKIN, ()), _wood(stacks)
    looks = []
    if ProductKind.CANVAS in skin:
        looks.append(
            Look(months=6, text=gettext_noop("The ends and the keel line: tacks, bedding, cracks in the paint."))
        )
    if _oiled(stacks):
        looks.append(Look(months=12, text=gettext_noop("Oiled wood: does water still bead on it?")))
    if ProductKind.VARNISH in wood:
        looks.append(
            Look(months=12, text=gettext_noop("Varnish: gunwales, decks and seats, where sun and hands wear it."))
        )
    if ProductKind.ENAMEL in skin:
        looks.append(Look(months=24, text=gettext_noop("Paint: chalking, scuffs, cracks along the planking.")))
    return tuple(looks)


def _wood(stacks: Stacks) -> set[ProductKind]:
    return {kind for surface in (Surface.INSIDE, Surface.BRIGHTWORK) for kind in stacks.get(surface, ())}


def _oiled(stacks: Stacks) -> bool:
    """Whether bare wood in sight is kept by oil: oil under the canvas asks nothing of anybody."""
    return any(stacks.get(s, ())[-1:] == (ProductKind.OIL,) for s in (Surface.INSIDE, Surface.BRIGHTWORK))


def kinds_of(surfaces: Iterable[Mapping[str, object]]) -> dict[Surface, tuple[ProductKind, ...]]:
    """The kinds on each surface of a record that was gathered."""
    found: dict[Surface, tuple[ProductKind, ...]] = {}
    for held in surfaces:
        layers = held["layers"]
        assert isinstance(layers, list)
        found[Surface(str(held["surface"]))] = tuple(ProductKind(layer["kind"]) for layer in layers)
    return found

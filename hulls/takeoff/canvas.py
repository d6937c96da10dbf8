"""The blank of canvas: how long, how wide, from which roll.

The canvas is folded lengthways and stretched between clamps like an envelope, and the hull is pressed down into it
right side up; so one width of cloth goes from sheer to sheer round the keel, and both edges are gripped over the sheer.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from hulls.lines import Sizes
from hulls.takeoff.duck import METRES_PER_INCH, duck_kg_m2
from hulls.takeoff.items import Canvas, Cloth, Draft
from hulls.takeoff.material import Material
from hulls.takeoff.practice import Practice
from hulls.takeoff.terms import Term, plus, start, times, worth
from hulls.wording import gettext_noop

KIND = "canvas"
ADVICE = gettext_noop(
    "Weigh a wider cloth before you take it: it is often a lighter one, of another number, that wears and stretches "
    "differently."
)
TOO_NARROW = gettext_noop(
    "No roll in the list is wide enough. Wider rolls are sold, but a wider cloth is often a lighter one: ask for its "
    "number or its weight."
)
NO_NUMBER = gettext_noop("This cloth has no number on record, so its weight is not known.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """The two sums of a blank."""

    length: tuple[Term, ...]
    width: tuple[Term, ...]


def blank(sizes: Sizes, practice: Practice) -> Blank:
    """Reckon length and width of the blank, each as a sum that can be read."""
    return Blank(
        length=(
            start(gettext_noop("Sheer, stem to stem, along its curve"), sizes.sheer_length_m, "m"),
            plus(gettext_noop("for the clamps and the pull at both ends"), 2 * practice.clamp_m, "m"),
        ),
        width=(
            start(gettext_noop("Greatest girth, sheer to sheer"), sizes.greatest_girth_m, "m"),
            plus(gettext_noop("to grip and pull on both sides"), 2 * practice.grip_m, "m"),
        ),
    )


def cut(sizes: Sizes, materials: Sequence[Material], practice: Practice) -> tuple[Canvas, Draft | None]:
    """Choose the roll and cut the blank.

    Parameters
    ----------
    sizes : Sizes
        Of the hull.
    materials : sequence of Material
        What the shop has; the first canvas is the usual one and is taken where one of its rolls is wide enough.
    practice : Practice
        What the clamps and the hands need.

    Returns
    -------
    Canvas, Draft or None
        The blank, and the item of its cloth; no item where no roll is wide enough.
    """
    sums = blank(sizes, practice)
    length_m, width_m = worth(sums.length), worth(sums.width)
    will_do = [
        (material, _cloth(material, width_in, length_m))
        for material, width_in in rolls(materials)
        if width_in * METRES_PER_INCH >= width_m
    ]
    material, cloth = will_do[0] if will_do else (None, None)
    canvas = Canvas(
        blank_length_m=length_m,
        width_needed_m=width_m,
        roll_width_in=cloth.roll_width_in if cloth else None,
        weight_kg=cloth.weight_kg if cloth else None,
        cloth=cloth,
        others=tuple(other for _material, other in will_do[1:]),
        advice=_advice(cloth),
        length_because=sums.length,
        width_because=sums.width,
    )
    if material is None or cloth is None:
        return canvas, None
    return canvas, draft(material, cloth.roll_width_in, sums)


def draft(material: Material, roll_width_in: float, sums: Blank) -> Draft | None:
    """Give the item of the cloth in the unit that its product is counted in; None where that is litres or pieces."""
    packs = tuple(pack for pack in material.packs if pack.roll_width_in in (None, roll_width_in))
    area = times(gettext_noop("width of the roll"), roll_width_in * METRES_PER_INCH, "m")
    more: tuple[Term, ...]
    match material.unit:
        case "m":
            more = ()
        case "m2":
            more = (area,)
        case "kg" if material.duck_number is not None:
            more = (area, times(gettext_noop("weight of the duck"), duck_kg_m2(material.duck_number), "kg/m2"))
        case _:
            return None
    only = Material(name=material.name, kind=KIND, unit=material.unit, duck_number=material.duck_number, packs=packs)
    return Draft(material=only, for_what=gettext_noop("The blank, in one piece"), because=(*sums.length, *more))


def amount(material: Material, sizes: Sizes, practice: Practice) -> float | None:
    """Give what the blank takes of one cloth, in its unit: off its narrowest roll that is wide enough.

    Metres are metres, whatever roll they come off. None where the unit asks for a width and no roll is wide enough, or
    for the weight of a duck without a number.
    """
    sums = blank(sizes, practice)
    if material.unit == "m":
        return worth(sums.length)
    needed_m = worth(sums.width)
    wide = (width_in for _material, width_in in rolls((material,)) if width_in * METRES_PER_INCH >= needed_m)
    width_in = next(wide, None)
    found = draft(material, width_in, sums) if width_in is not None else None
    return found.amount if found else None


def rolls(materials: Sequence[Material]) -> list[tuple[Material, float]]:
    """Give every roll of every canvas with its width in inches, the usual cloth first, each from narrow to wide."""
    return [
        (material, width_in)
        for material in materials
        if material.kind == KIND
        for width_in in sorted({pack.roll_width_in for pack in material.packs if pack.roll_width_in})
    ]


def _cloth(material: Material, width_in: float, length_m: float) -> Cloth:
    number = material.duck_number
    area_m2 = length_m * width_in * METRES_PER_INCH
    return Cloth(
        product=material.name,
        duck_number=number,
        roll_width_in=width_in,
        weight_kg=None if number is None else area_m2 * duck_kg_m2(number),
    )


def _advice(cloth: Cloth | None) -> str:
    if cloth is None:
        return TOO_NARROW
    return ADVICE if cloth.duck_number is not None else NO_NUMBER

"""What a take-off comes to: the canvas, and one item a product."""

from dataclasses import dataclass

from hulls.takeoff.material import Material, Pack
from hulls.takeoff.terms import Term, worth


@dataclass(frozen=True, slots=True, kw_only=True)
class PackCount:
    """So many of a pack."""

    pack: Pack
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """How much of one product, and why.

    Parameters
    ----------
    product, kind : str
        Name and kind of the product.
    amount : float
        In `unit`.
    unit : str
        ``L``, ``kg``, ``m2``, ``m`` or ``pc``.
    for_what : str
        What it is for, in a few words.
    packs : tuple of PackCount
        The cheapest whole packs that cover it; empty where none are known.
    because : tuple of Term
        The sum that `amount` is, from the hull's sizes, the work and the shop's practice.
    piece : float or None
        How much of the unit must be in one piece, as the length of an outwale.
    pieces : int or None
        How many of them the amount is, where what is counted on the hull is sold by weight, as tacks are.
    """

    product: str
    kind: str
    amount: float
    unit: str
    for_what: str
    packs: tuple[PackCount, ...]
    because: tuple[Term, ...]
    piece: float | None = None
    pieces: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An item before its packs are chosen; its amount is what its terms are worth.

    Where it must be cut in one piece, as an outwale is, `piece` is how much of the unit one takes.
    """

    material: Material
    for_what: str
    because: tuple[Term, ...]
    piece: float | None = None

    @property
    def amount(self) -> float:
        """In the product's unit; an array where the terms hold arrays."""
        return worth(self.because)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """A roll that a blank could be cut from.

    Parameters
    ----------
    product : str
        Its name.
    duck_number : int or None
        Its number, where it is a numbered duck.
    roll_width_in : float
        Width as it is sold, in.
    weight_kg : float or None
        Of the blank; None where its cloth has no number.
    """

    product: str
    duck_number: int | None
    roll_width_in: float
    weight_kg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Canvas:
    """The blank of canvas that is stretched over the hull.

    Parameters
    ----------
    blank_length_m : float
        Along the hull, with what the clamps hold.
    width_needed_m : float
        Across, round the greatest girth, with what is gripped on both sides.
    roll_width_in : float or None
        The narrowest roll that will do; None where the shop has none.
    weight_kg : float or None
        Of the blank, uncut, in loom-state cloth.
    cloth : Cloth or None
        The roll that was taken.
    others : tuple of Cloth
        The other rolls that will do too.
    advice : str
        What to know of the choice.
    length_because, width_because : tuple of Term
        The sums behind the two lengths.
    """

    blank_length_m: float
    width_needed_m: float
    roll_width_in: float | None
    weight_kg: float | None
    cloth: Cloth | None
    others: tuple[Cloth, ...]
    advice: str
    length_because: tuple[Term, ...]
    width_because: tuple[Term, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """All that one hull needs.

    Parameters
    ----------
    canvas : Canvas or None
        Where a new one is stretched.
    items : tuple of Item
        One a product.
    unknown : tuple of str
        Kinds of products that the work asks for and of which too little is known to say an amount.
    """

    canvas: Canvas | None
    items: tuple[Item, ...]
    unknown: tuple[str, ...]

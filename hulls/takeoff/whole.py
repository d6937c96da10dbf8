"""Packs in whole numbers: amounts in thousandths of their unit, prices without decimals, lengths in whole pieces."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.material import Pack
from hulls.takeoff.terms import HAIR

MILLI = 1000  # amounts are compared to a thousandth of their unit: a millilitre, a gram, a millimetre


@dataclass(frozen=True, slots=True)
class Size:
    """A pack in whole numbers: what it costs, what it holds, which one it is."""

    cost: int
    holds: int
    pack: Pack


def milli(amount: float) -> int:
    """Give an amount in whole thousandths of its unit."""
    return round(amount * MILLI)


def sizes_of(packs: Sequence[Pack]) -> tuple[Size, ...]:
    """Give packs in whole numbers, prices scaled until no decimals are left.

    Parameters
    ----------
    packs : sequence of Pack
        Those without a price are passed over where any has one.

    Returns
    -------
    tuple of Size
        The best value first. Where no price is known at all, a pack costs what it holds, so the least left over wins.

    Raises
    ------
    TakeOffError
        A pack holds less than a thousandth of its unit.
    """
    priced = [pack for pack in packs if pack.price is not None]
    scale = 10 ** max((decimals(pack.price) for pack in priced if pack.price is not None), default=0)
    found = [
        Size(
            cost=milli(pack.amount) if pack.price is None else int(pack.price * scale),
            holds=milli(pack.amount),
            pack=pack,
        )
        for pack in priced or packs
    ]
    if any(size.holds < 1 for size in found):
        raise TakeOffError("amount", "A pack holds more than a thousandth of its unit.")
    return tuple(sorted(found, key=lambda size: (size.cost / size.holds, -size.holds)))


def in_pieces(packs: Sequence[Pack], piece: float) -> dict[Pack, Pack]:
    """Give packs by how many whole pieces each holds, with the pack itself; those too short for one are left out."""
    held = {pack: int(pack.amount / piece + HAIR) for pack in packs}
    return {replace(pack, amount=count): pack for pack, count in held.items() if count}


def decimals(price: Decimal) -> int:
    """Give how many decimals a price has."""
    return max(0, -int(price.as_tuple().exponent))

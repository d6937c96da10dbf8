"""The cheapest whole packs that cover one amount: exact, and quick enough for every line of every page.

Over many boats, days and shelf lives `hulls.takeoff.packs` answers.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.items import PackCount
from hulls.takeoff.material import Pack
from hulls.takeoff.terms import HAIR

MILLI = 1000  # amounts are compared to a thousandth of their unit: a millilitre, a gram, a millimetre
MOST_PACKS = 100_000

Worth = tuple[
    int, int, int
]  # cost, amount bought, packs: the least of the first, then of the second, then of the third


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


@lru_cache(maxsize=4096)
def cover(amount: float, packs: tuple[Pack, ...]) -> tuple[PackCount, ...]:
    """Choose the packs for one amount.

    Parameters
    ----------
    amount : float
        In the unit of the packs.
    packs : tuple of Pack
        As many of each as it takes.

    Returns
    -------
    tuple of PackCount
        The cheapest set, of these the one with the least left over, of these the one of the fewest packs; without any
        price the least left over, then the fewest. Empty where nothing is needed or no pack is known.

    Raises
    ------
    TakeOffError
        The amount would take more than 100,000 packs.

    Notes
    -----
    Branch and bound: a branch ends where even the best price for what is left, and nothing left over, is no better.
    """
    need = milli(amount)
    sizes = sizes_of(packs)
    if need <= 0 or not sizes:
        return ()
    if need > MOST_PACKS * max(size.holds for size in sizes):
        raise TakeOffError("amount", "So much would take more than 100,000 packs.")
    _worth, counts = _Search(sizes).best(need)
    return tuple(PackCount(pack=size.pack, count=n) for size, n in zip(sizes, counts, strict=True) if n)


class _Search:
    """The search over the sizes, the best value first."""

    def __init__(self, sizes: tuple[Size, ...]) -> None:
        self.sizes = sizes
        self.biggest = [max(size.holds for size in sizes[i:]) for i in range(len(sizes))]
        self.found: tuple[Worth, tuple[int, ...]] | None = None

    def best(self, need: int) -> tuple[Worth, tuple[int, ...]]:
        self._descend(0, need, (0, 0, 0), ())
        assert self.found is not None
        return self.found

    def _descend(self, at: int, rest: int, so_far: Worth, counts: tuple[int, ...]) -> None:
        left = len(self.sizes) - at
        if rest <= 0:
            self._keep(so_far, counts + (0,) * left)
        elif left == 1:
            n = -(-rest // self.sizes[at].holds)
            self._keep(self._more(so_far, at, n), (*counts, n))
        else:
            for n in range(-(-rest // self.sizes[at].holds), -1, -1):
                more = self._more(so_far, at, n)
                still = rest - n * self.sizes[at].holds
                least = self._least(at + 1, max(still, 0), more)
                if self.found and still >= 0 and least[0] > self.found[0][0]:
                    break  # fewer of a better value leave more to buy at a worse one
                if self.found and least >= self.found[0]:
                    continue
                self._descend(at + 1, still, more, (*counts, n))

    def _more(self, so_far: Worth, at: int, n: int) -> Worth:
        size = self.sizes[at]
        return so_far[0] + n * size.cost, so_far[1] + n * size.holds, so_far[2] + n

    def _least(self, at: int, rest: int, so_far: Worth) -> Worth:
        """Give what no way on can beat: the best price for what is left, and nothing left over."""
        size = self.sizes[at]
        return (
            so_far[0] - (-rest * size.cost // size.holds),
            so_far[1] + rest,
            so_far[2] - (-rest // self.biggest[at]),
        )

    def _keep(self, worth: Worth, counts: tuple[int, ...]) -> None:
        if self.found is None or worth < self.found[0]:
            self.found = worth, counts

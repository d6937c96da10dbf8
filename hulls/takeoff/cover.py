"""The cheapest whole packs that cover one amount; over many boats and days `hulls.takeoff.packs` answers."""

import math
from functools import lru_cache

from hulls.takeoff.items import PackCount
from hulls.takeoff.material import Pack
from hulls.takeoff.shortest import Question, solve
from hulls.takeoff.whole import milli, sizes_of


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
        The amount is more than any shop buys.
    """
    sizes = sizes_of(packs)
    if milli(amount) <= 0 or not sizes:
        return ()
    # Packs hold whole steps of what divides them all, so no set of them tells a need from the next whole step.
    step = math.gcd(*(size.holds for size in sizes))
    need = -(-milli(amount) // step) * step
    asked = Question(days=(0,), up_to=(need,), ends=(need,), sizes=sizes, covered=0)
    return tuple(PackCount(pack=pack, count=count) for pack, count, _day in solve(asked))

"""The cheapest packs for one product, over its days of need: an exact shortest path, proven and quick.

A pack is bought when it is first needed and opened then, which no earlier buying betters. Every new pack of a product
keeps equally long, so the oldest is used up first and nothing is lost by it. Then packs are opened one after the other,
each where the last one ended, and all that matters is how much of the need is covered so far: the length of what is
left is shortest from there, whatever was bought before. One table over that amount, from the end back, holds them all.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.material import Pack
from hulls.takeoff.whole import Size

MOST = 5_000_000  # entries of a table: 5,000 L in millilitres
TOP = 2**62

Table = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One product by itself, in whole numbers.

    Parameters
    ----------
    days, up_to : tuple of int
        The days of need, each once, in order, and how much is needed up to each of them.
    ends : tuple of int
        How much is needed as long as a pack serves that is opened on that day.
    sizes : tuple of Size
        The packs.
    covered : int
        What the stores cover, from the first day on.
    """

    days: tuple[int, ...]
    up_to: tuple[int, ...]
    ends: tuple[int, ...]
    sizes: tuple[Size, ...]
    covered: int

    @property
    def needed(self) -> int:
        """All of it."""
        return self.up_to[-1]


def solve(asked: Question) -> list[tuple[Pack, int, int]]:
    """Give packs with their count and the day on which they are opened."""
    step = math.gcd(asked.covered, *asked.up_to, *(size.holds for size in asked.sizes))
    if asked.covered >= asked.needed:
        return []
    if asked.needed // step > MOST:
        raise TakeOffError("amount", f"{asked.needed / 1000:,.0f} of one product is more than any shop buys.")
    worths = _worths(asked)
    table = _table(asked, worths, step)
    counts: dict[tuple[int, int], int] = defaultdict(int)
    at = asked.covered
    while at < asked.needed:
        block = next(i for i, until in enumerate(asked.up_to) if at < until)
        ways = [min(at + size.holds, asked.ends[block]) for size in asked.sizes]
        k = min(range(len(ways)), key=lambda n: worths[n] + int(table[ways[n] // step]))
        counts[block, k] += 1
        at = ways[k]
    return [(asked.sizes[k].pack, n, asked.days[block]) for (block, k), n in sorted(counts.items())]


def _worths(asked: Question) -> list[int]:
    """Give each pack one number that sorts by cost, then by what it holds, then by one pack.

    Raises
    ------
    TakeOffError
        The numbers are too large to be told apart.
    """
    days = len(asked.days)
    most_packs = min(asked.needed // size.holds + days for size in asked.sizes) + max(
        asked.needed // size.holds + days for size in asked.sizes
    )
    most_held = asked.needed + (days + 1) * max(size.holds for size in asked.sizes)
    worths = [(size.cost * most_held + size.holds) * most_packs + 1 for size in asked.sizes]
    whole = min(worth * (asked.needed // size.holds + days) for worth, size in zip(worths, asked.sizes, strict=True))
    if whole + max(worths) > TOP:
        raise TakeOffError("price", "The prices have too many digits to be compared exactly.")
    return worths


def _table(asked: Question, worths: Sequence[int], step: int) -> Table:
    """Give what it takes at least to cover the rest, by what is covered so far, in steps.

    Stretches no longer than the smallest pack are done at once: no pack leads from such a stretch back into it.
    """
    holds = [size.holds // step for size in asked.sizes]
    table = np.zeros(asked.needed // step + 1, dtype=np.int64)
    starts = (0, *(n // step for n in asked.up_to[:-1]))
    for block in range(len(asked.days) - 1, -1, -1):
        end = asked.ends[block] // step
        low, high = max(starts[block], asked.covered // step), asked.up_to[block] // step
        while high > low:
            begin = max(low, high - min(holds))
            table[begin:high] = np.min(
                [_after(table, begin, high, hold, end) + worth for hold, worth in zip(holds, worths, strict=True)],
                axis=0,
            )
            high = begin
    return table


def _after(table: Table, begin: int, high: int, hold: int, end: int) -> Table:
    """Give what is left to do beyond a pack, for each start of a stretch; beyond its last day a pack is thrown away."""
    if high - 1 + hold <= end:
        return table[begin + hold : high + hold]
    beyond: Table = table[np.minimum(np.arange(begin + hold, high + hold), end)]
    return beyond

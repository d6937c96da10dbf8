"""The cheapest whole packs over many boats, days and shelf lives: an exact shortest path, proven and quick.

A pack is bought when it is first needed and opened then, which no earlier buying betters. Every new pack of a product
keeps equally long, so the oldest is used up first and nothing is lost by it. Then packs are opened one after the other,
each where the last one ended, and all that matters is how much of the need is covered so far: the length of what is
left is shortest from there, whatever was bought before. One table over that amount, from the end back, holds them all.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from hulls.takeoff.cover import Size, in_pieces, milli, sizes_of
from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.material import Material, Pack
from hulls.takeoff.period import Bought, Need, Opened, PackChoice
from hulls.takeoff.terms import HAIR

MOST = 5_000_000  # entries of a table: 5,000 L in millilitres
TOP = 2**62

Table = npt.NDArray[np.int64]


def choose_packs(
    needs: Iterable[Need], materials: Iterable[Material], opened: Iterable[Opened] = (), horizon: int | None = None
) -> PackChoice:
    """Choose what to buy for many boats.

    Parameters
    ----------
    needs : iterable of Need
        In any order.
    materials : iterable of Material
        The products with their packs and how long they keep.
    opened : iterable of Opened
        What is in the stores: it is used up first, what goes off first before the rest, as far as its days allow.
    horizon : int or None
        The last day that is bought for; later needs are passed over.

    Returns
    -------
    PackChoice
        The cheapest packs, of these the least left over, of these the fewest packs; for a product without any price
        the least left over, then the fewest.

    Raises
    ------
    TakeOffError
        A product that is not among the materials, or an amount that no shop buys.

    Notes
    -----
    Products do not compete, so each is solved by itself, and so is each length of piece that a timber is cut into.
    """
    known = {material.name: material for material in materials}
    in_stores: dict[str, list[Opened]] = defaultdict(list)
    for can in opened:
        in_stores[can.product].append(can)
    bought: list[Bought] = []
    missing: list[str] = []
    for (name, piece), group in _groups(needs, horizon):
        if name not in known:
            raise TakeOffError("product", f"There is no product called “{name}”.")
        gives = in_pieces(known[name].packs, piece) if piece else {pack: pack for pack in known[name].packs}
        # Lengths in the rack serve the first kind of piece that asks: they are not promised twice.
        asked = _question(group, tuple(gives), in_stores.pop(name, []), known[name].lasts_days, piece)
        if asked.covered < asked.needed and not asked.sizes:
            missing.append(name)
        else:
            bought += (Bought(product=name, pack=gives[pack], count=n, day=day) for pack, n, day in _solve(asked))
    return PackChoice(
        status="impossible" if missing else "optimal",
        counts=tuple(bought),
        cost=_cost(bought),
        missing=tuple(dict.fromkeys(missing)),
    )


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


def _groups(needs: Iterable[Need], horizon: int | None) -> list[tuple[tuple[str, float | None], list[Need]]]:
    groups: dict[tuple[str, float | None], list[Need]] = defaultdict(list)
    for need in needs:
        if horizon is None or need.day <= horizon:
            groups[need.product, need.piece].append(need)
    return sorted(groups.items(), key=lambda found: (found[0][0], found[0][1] or 0.0))


def _question(
    needs: Sequence[Need], packs: Sequence[Pack], cans: Sequence[Opened], lasts: int | None, piece: float | None
) -> Question:
    by_day: dict[int, int] = defaultdict(int)
    for need in needs:
        by_day[need.day] += milli(round(need.amount / piece) if piece else need.amount)
    days = sorted(by_day)
    up_to = list(accumulate(by_day[day] for day in days))

    def through(last: int | None) -> int:
        return max((n for day, n in zip(days, up_to, strict=True) if last is None or day <= last), default=0)

    covered = 0
    for can in sorted(cans, key=lambda found: math.inf if found.good_until is None else found.good_until):
        holds = milli(int(can.amount / piece + HAIR) if piece else can.amount)
        covered = max(covered, min(covered + holds, through(can.good_until)))
    return Question(
        days=tuple(days),
        up_to=tuple(up_to),
        ends=tuple(through(None if lasts is None else day + lasts) for day in days),
        sizes=sizes_of(packs),
        covered=covered,
    )


def _cost(bought: Sequence[Bought]) -> Decimal | None:
    prices = [None if found.pack.price is None else found.count * found.pack.price for found in bought]
    return None if None in prices else sum((price for price in prices if price is not None), Decimal(0))


def _solve(asked: Question) -> list[tuple[Pack, int, int]]:
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

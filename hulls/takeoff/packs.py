"""The cheapest whole packs over many boats, days and shelf lives: every product is a question of its own."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import accumulate

from hulls.takeoff.errors import TakeOffError
from hulls.takeoff.material import Material, Pack
from hulls.takeoff.period import Bought, Need, Opened, PackChoice
from hulls.takeoff.shortest import Question, solve
from hulls.takeoff.terms import HAIR
from hulls.takeoff.whole import in_pieces, milli, sizes_of


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
            bought += (Bought(product=name, pack=gives[pack], count=n, day=day) for pack, n, day in solve(asked))
    return PackChoice(
        status="impossible" if missing else "optimal",
        counts=tuple(bought),
        cost=_cost(bought),
        missing=tuple(dict.fromkeys(missing)),
    )


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

"""Which planned needs the stores cover while their cans are in date, which wait for an order, and which lack it all."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from stages.engine.stores import Coming, Stock
from stages.queries.planned import PlannedNeed

TRIFLE = 0.0005  # of a unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Short:
    """What a product lacks: how much, and the needs that are not covered."""

    missing: float
    needs: tuple[PlannedNeed, ...]

    def tags(self, since: date) -> tuple[str, ...]:
        """Name the hulls that lack it from a day on."""
        return tuple(sorted({need.tag for need in self.needs if need.on >= since}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """An order, and the needs that it covers too late."""

    coming: Coming
    needs: tuple[PlannedNeed, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Covered:
    """How the needs of one product stand."""

    short: Short | None
    late: tuple[Late, ...]


@dataclass(slots=True, kw_only=True)
class _Source:
    """A can or an order, and what of it is not promised yet."""

    left: float
    until: date
    coming: Coming | None = None


def cover(needs: Sequence[PlannedNeed], stock: Stock | None, today: date) -> Covered:
    """Hold the needs of one product against its cans and orders.

    Parameters
    ----------
    needs : sequence of PlannedNeed
        Of one product, the soonest first.
    stock : Stock or None
        Its cans and what is on order; None where there is neither.
    today : date
        The shop's day.

    Notes
    -----
    What goes out of date first is used first, and nothing is promised to a step that comes after its last day. Orders
    come after the cans; one that comes too late still covers its need, which then waits for it.
    """
    sources = _sources(stock, today) if stock else []
    lacking: list[PlannedNeed] = []
    missing = 0.0
    late: dict[Coming, list[PlannedNeed]] = defaultdict(list)
    for need in needs:
        wanted = need.amount
        for source in sources:
            taken = min(wanted, source.left) if need.on <= source.until else 0.0
            source.left -= taken
            wanted -= taken
            if source.coming and taken > TRIFLE and not today <= source.coming.on <= need.on:
                late[source.coming].append(need)
        if wanted > TRIFLE:
            lacking.append(need)
            missing += wanted
    return Covered(
        short=Short(missing=missing, needs=tuple(lacking)) if lacking else None,
        late=tuple(Late(coming=coming, needs=tuple(found)) for coming, found in late.items()),
    )


def _sources(stock: Stock, today: date) -> list[_Source]:
    cans = [_Source(left=can.holds, until=can.good_until or date.max) for can in stock.pouring(today)]
    orders = [_Source(left=coming.amount, until=date.max, coming=coming) for coming in stock.coming]
    return [*sorted(cans, key=lambda can: can.until), *orders]

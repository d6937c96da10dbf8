"""What coats really took of a product, read from the log, and the shop's factors on the label's rate that follow."""

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from stages.engine.learning import ShopFactor, learn_ratio
from stages.engine.log import EntryKind
from stages.models import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One coat, in force, of which somebody measured how much it took; amounts in the product's unit."""

    tag: str
    at: datetime
    by: str
    product: int
    amount: float
    by_label: float


def measured(product: int | None = None) -> list[Measured]:
    """Every measured coat in force, of one product or of all, the latest first; in two queries."""
    rows = Entry.objects.filter(kind=EntryKind.COAT, details__measured=True)
    rows = rows.select_related("hull", "by").order_by("-at", "-pk")
    if product is not None:
        rows = rows.filter(details__product=product)
    found = [row for row in rows if row.details.get("reckoned")]
    struck = _struck({row.hull_id for row in found})
    return [_measured(row) for row in found if (row.hull_id, row.number) not in struck]


def usage_factors() -> dict[int, ShopFactor]:
    """By product, the shop's factor on what a coat takes by the label, where anybody measured one."""
    logs: dict[int, list[float]] = defaultdict(list)
    for coat in measured():
        logs[coat.product].append(math.log(coat.amount / coat.by_label))
    return {product: _learnt(tuple(found)) for product, found in logs.items()}


@lru_cache(maxsize=256)
def _learnt(logs: tuple[float, ...]) -> ShopFactor:
    return learn_ratio(logs)


def _struck(hulls: set[int]) -> set[tuple[int, int]]:
    return set(_strikes(hulls)) if hulls else set()


def _strikes(hulls: set[int]) -> Iterator[tuple[int, int]]:
    strikes = Entry.objects.filter(kind=EntryKind.STRIKE, hull_id__in=hulls)
    for hull, details in strikes.values_list("hull_id", "details"):
        yield hull, details["entry"]


def _measured(row: Entry) -> Measured:
    told = row.details
    return Measured(
        tag=row.hull.tag,
        at=row.at,
        by=row.by.called if row.by else "",
        product=told["product"],
        amount=float(told["amount"]),
        by_label=told["reckoned"],
    )

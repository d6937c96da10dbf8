"""What the stores hold, as the engine reads it: kept in the process as long as the stamp of the stores stands."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta
from functools import lru_cache

from django.db.models import F, QuerySet

from shop.models import Lot, OrderLine, Product
from stages.engine.stores import Can, Coming, Stock


@lru_cache(maxsize=2)
def kept_stock(stamp: str) -> dict[int, Stock]:
    """What the stores hold under a stamp."""
    return fresh_stock()


def fresh_stock() -> dict[int, Stock]:
    """By product, what the stores hold and what is on order, in three queries.

    A product of which nothing ever came in, or which the shop does not count, is not there.
    """
    kept = Product.objects.filter(counted=True, lots__isnull=False).distinct().values_list("pk", flat=True)
    cans: dict[int, list[Can]] = defaultdict(list)
    for lot in Lot.objects.filter(holds__gt=0).select_related("product"):
        cans[lot.product_id].append(engine_can(lot))
    coming = on_order()
    return {pk: Stock(cans=tuple(cans[pk]), coming=coming.get(pk, ())) for pk in kept}


def on_order() -> dict[int, tuple[Coming, ...]]:
    """By product, what is on order, also of what never came in before; the soonest first."""
    coming: dict[int, list[Coming]] = defaultdict(list)
    lines = _open().values_list("pack__product", "packs", "received", "pack__amount", "expected_on")
    for product, packs, received, amount, on in lines:
        coming[product].append(Coming(amount=float((packs - received) * amount), on=on))
    return {pk: tuple(found) for pk, found in coming.items()}


def orders_open() -> Iterable[OrderLine]:
    """Orders of which something is still to come, the soonest first."""
    return _open().select_related("pack__product", "pack__supplier")


def _open() -> QuerySet[OrderLine]:
    return OrderLine.objects.filter(closed_at__isnull=True, received__lt=F("packs")).order_by("expected_on", "pk")


def engine_can(lot: Lot) -> Can:
    """A lot as the engine reads it."""
    return Can(
        id=lot.pk,
        holds=float(lot.holds),
        label=lot.label,
        good_until=lot.good_until(),
        opened=lot.opened_at is not None,
        settles_on=_settles_on(lot),
    )


def _settles_on(lot: Lot) -> date | None:
    if not lot.product.settles_days:
        return None
    since = lot.shaken_at.date() if lot.shaken_at else lot.received_on
    return since + timedelta(days=lot.product.settles_days + 1)

"""A coat draws from the stores: which cans, how much of each, and what the log keeps of it. A strike gives it back."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.utils import timezone

from hulls.wording import gettext_noop
from shop.models import Lot, Move, Movement
from shop.services import lots as ledger
from stages.engine.errors import EngineError
from stages.engine.log import LogEntry
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.stores import Stock
from stages.engine.usage import coat_amount, label_amount
from stages.engine.vocab import Surface
from stages.models import Entry
from stages.queries.stock import engine_can
from stages.services.desk import Desk
from stages.services.orders import Draw, Hand

THOUSANDTH = Decimal("0.001")
LEAST = 0.0005  # of a unit: what is less is no thousandth of it
MOST = {"L": 50.0}  # of one coat, litres; of anything else a thousand of its unit
MOST_ELSE = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """What a coat takes: the lots that it draws from, what the engine is asked with, and what the log keeps."""

    draws: tuple[Draw, ...] = ()
    amount: float | None = None
    stock: Stock | None = None
    details: dict[str, Any] = field(default_factory=dict)


def pour(
    desk: Desk,
    hand: Hand,
    product: Product,
    spec: StageSpec,
    surface: Surface,
    *,
    amount: float | None = None,
    measured: bool = False,
    from_lot: int | None = None,
) -> Pour:
    """What a coat takes of its product, its lots locked until the transaction ends.

    Parameters
    ----------
    desk, hand
        The hull, and who asks.
    product, spec, surface
        What goes on, as which step, and where.
    amount : float, optional
        How much, in the product's unit; as the take-off reckons it where it is not given.
    measured : bool
        Whether somebody measured that amount, so that the shop learns from it.
    from_lot : int, optional
        The can to pour from first; else the open one, then what goes out of date first.

    Raises
    ------
    EngineError
        For an amount that no coat takes or that nobody can reckon, or a can that is empty or out of date.
    """
    _check_amount(product, amount)
    by_label = label_amount(desk.work, product, spec, surface)
    world = desk.work.world.stores.get(product.id)
    if world is None:
        return Pour(details=_told(product, amount, measured, by_label) if amount is not None else {})
    told = amount if amount is not None else coat_amount(desk.work, product, spec, surface)
    if told is None:
        raise EngineError("amount", gettext_noop("Say how much of it was used: it cannot be reckoned."))
    taken = _exact(told)
    held = {lot.pk: lot for lot in ledger.locked(Lot.objects.filter(product=product.id, holds__gt=0))}
    stock = Stock(cans=tuple(map(engine_can, held.values())), coming=world.coming)
    draws = tuple(_from_cans(held, _order(desk, hand, stock, from_lot), taken))
    details = _told(product, told, measured, by_label)
    details["drawn"] = [[draw.lot.pk, str(draw.amount)] for draw in draws]
    return Pour(draws=draws, amount=float(taken), stock=stock, details=details)


def settle(entry: Entry, draws: Iterable[Draw]) -> bool:
    """Write what a coat drew into the ledger; return whether it drew anything."""
    drawn = list(draws)
    for draw in sorted(drawn, key=lambda draw: draw.lot.pk):
        assert entry.by is not None
        ledger.add(
            draw.lot,
            Move.DRAWN,
            -draw.amount,
            at=entry.at,
            by=entry.by,
            recorded_at=entry.recorded_at,
            entry=entry.pk,
        )
    return bool(drawn)


def give_back(struck: LogEntry, strike: Entry) -> bool:
    """Give what a struck coat drew back to its lots; return whether it had drawn anything.

    A lot that was counted or thrown away since keeps what it was found to hold.
    """
    if not struck.details.get("drawn"):
        return False
    row = Entry.objects.get(hull_id=strike.hull_id, number=struck.id)
    numbers = [lot for lot, _amount in struck.details["drawn"]]
    drawn = {m.lot_id: m for m in Movement.objects.filter(entry=row.pk, kind=Move.DRAWN)}
    for lot in ledger.locked(Lot.objects.filter(pk__in=numbers)):
        back = ledger.NOTHING if ledger.settled_since(lot, drawn[lot.pk]) else -drawn[lot.pk].amount
        assert strike.by is not None
        ledger.add(lot, Move.STRUCK, back, at=strike.at, by=strike.by, recorded_at=strike.recorded_at, entry=row.pk)
    return True


def _check_amount(product: Product, amount: float | None) -> None:
    if amount is None or LEAST < amount <= MOST.get(product.unit, MOST_ELSE):
        return
    if product.unit == "L":
        raise EngineError("litres", gettext_noop("A coat takes over 0 and up to 50 litres."))
    raise EngineError("amount", gettext_noop("No coat takes so much or so little."))


def _order(desk: Desk, hand: Hand, stock: Stock, first: int | None) -> list[int]:
    """Lots in the order in which hands take them; out of date only where the shop's owner goes ahead all the same."""
    day = timezone.localtime(hand.at, desk.work.world.zone_info).date()
    good = [can.id for can in stock.pouring(day)]
    if hand.by.is_shop_owner and hand.override.strip():
        good += [can.id for can in stock.cans if can.id not in good]
    if first is None:
        return good
    if first not in good:
        raise EngineError("from_lot", gettext_noop("That can is empty or out of date by now. Take another one."))
    return [first, *(number for number in good if number != first)]


def _from_cans(held: dict[int, Lot], order: list[int], need: Decimal) -> Iterable[Draw]:
    for number in order:
        part = min(need, held[number].holds)
        if part > 0:
            yield Draw(lot=held[number], amount=part)
        need -= part


def _told(product: Product, amount: float, measured: bool, by_label: float | None) -> dict[str, Any]:
    details: dict[str, Any] = {"amount": str(_exact(amount)), "unit": product.unit, "measured": measured}
    if by_label:
        details["reckoned"] = round(by_label, 4)  # by the label, whatever the shop had measured until then
    if product.unit == "L":
        details["litres"] = amount if measured else float(_exact(amount))
    return details


def _exact(amount: float) -> Decimal:
    return max(THOUSANDTH, Decimal(str(amount)).quantize(THOUSANDTH))

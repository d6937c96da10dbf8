"""What people do at the shelves: order, take in, count, open, shake, use, throw away. Each sent twice is done once."""

from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from shop.models import CrewMember, Lot, Move, OrderLine, Pack, Pulse, Unit
from shop.services import lots as ledger

IN_CANS = frozenset({Unit.LITRE, Unit.KILOGRAM})  # each can opens and ages by itself; the rest lies in one heap
MOST_CANS = 99
MOST_PACKS = 999
MOST_WORDS = 200
ONE_DAY = timedelta(days=1)  # the shop's day may be ahead of the server's


def place_order(
    *,
    pack: Pack,
    packs: int,
    ordered_on: date,
    expected_on: date,
    by: CrewMember,
    client_id: UUID,
    unit_price: Decimal | None = None,
) -> OrderLine:
    """Write down what was ordered.

    Raises
    ------
    ValidationError
        By field: no packs or too many, a day of arrival before the day of the order, a price that is none.
    """
    with transaction.atomic():
        if sent := OrderLine.objects.filter(client_id=client_id).first():
            return sent
        _check_packs(packs, MOST_PACKS)
        if expected_on < ordered_on:
            raise ValidationError({"expected_on": _("It cannot be here before it was ordered.")})
        line = OrderLine(
            client_id=client_id,
            pack=pack,
            packs=packs,
            unit_price=unit_price if unit_price is not None else pack.price,
            ordered_on=ordered_on,
            expected_on=expected_on,
            ordered_by=by,
        )
        line.full_clean(exclude=["pack", "ordered_by"])
        line.save()
        Pulse.bump(stores=True)
        return line


def close_order(*, order: OrderLine, reason: str, now: datetime) -> OrderLine:
    """Write down that what is still to come of an order will not come; what came stays."""
    with transaction.atomic():
        line = OrderLine.objects.select_for_update().get(pk=order.pk)
        if line.closed_at is None and line.to_come:
            line.closed_at, line.closed_because = now, _reason(reason)
            line.save(update_fields=["closed_at", "closed_because"])
            Pulse.bump(stores=True)
        return line


def take_in(
    *,
    pack: Pack,
    packs: int,
    by: CrewMember,
    client_id: UUID,
    now: datetime,
    received_on: date,
    use_by: date | None = None,
    label: str = "",
    unit_price: Decimal | None = None,
    order: OrderLine | None = None,
) -> list[Lot]:
    """Put packs on the shelf: each can a lot of its own, what lies in one heap a lot together.

    Parameters
    ----------
    pack : Pack
        What came.
    packs : int
        How many of it.
    by, client_id, now
        Who writes it down, the sender's own number, and the moment.
    received_on, use_by : date
        When it came, and the last day on its label, where it has one.
    label : str
        Lot number on the label.
    unit_price : Decimal, optional
        What one pack cost; the order's or the pack's own price where it is not given.
    order : OrderLine, optional
        The order that it came of; what is still to come of it shrinks.

    Raises
    ------
    ValidationError
        By field: no packs, more than were ordered, or a last day that was over when it came.
    """
    with transaction.atomic():
        line = OrderLine.objects.select_for_update().get(pk=order.pk) if order else None
        if sent := ledger.sent_before(client_id):
            return [sent.lot]
        _check_packs(packs, MOST_CANS if pack.product.unit in IN_CANS else MOST_PACKS)
        _check_days(received_on, use_by, now)
        if line:
            _come_of(line, packs)
        price = next((p for p in (unit_price, line.unit_price if line else None, pack.price) if p is not None), None)
        rows = [
            _lot(pack, count, price, order=line, received_on=received_on, use_by=use_by, label=label)
            for count in _heaps(pack, packs)
        ]
        for number, (lot, amount) in enumerate(rows):
            first = client_id if number == 0 else None
            ledger.add(lot, Move.IN, amount, at=now, by=by, recorded_at=now, client_id=first)
        Pulse.bump(stores=True)
        return [lot for lot, _amount in rows]


def count(*, lot: Lot, amount: Decimal, reason: str, by: CrewMember, client_id: UUID, now: datetime) -> Lot:
    """Put what a lot holds right, by what somebody found in it.

    Raises
    ------
    ValidationError
        Without a reason; for less than nothing or more than ever came in with it.
    """

    def change(held: Lot) -> Decimal:
        came: Decimal = ledger.sums(held.movements.filter(kind=Move.IN))
        if not 0 <= amount <= came:
            most = {"most": came.normalize(), "unit": held.product.get_unit_display()}
            raise ValidationError({"amount": _("It holds from 0 to %(most)s %(unit)s.") % most})
        return amount - held.holds

    return _moved(lot, Move.COUNTED, change, _reason(reason), by, client_id, now)


def use(*, lot: Lot, amount: Decimal, reason: str, by: CrewMember, client_id: UUID, now: datetime) -> Lot:
    """Take some out of a lot for something that is no coat; refused where it holds less."""

    def change(held: Lot) -> Decimal:
        if amount <= 0:
            raise ValidationError({"amount": _("Take out more than nothing.")})
        if amount > held.holds:
            left = {"left": held.holds.normalize(), "unit": held.product.get_unit_display()}
            raise ValidationError({"amount": _("Only %(left)s %(unit)s are left in it.") % left})
        return -amount

    return _moved(lot, Move.USED, change, _reason(reason), by, client_id, now)


def throw_away(*, lot: Lot, reason: str, by: CrewMember, client_id: UUID, now: datetime) -> Lot:
    """Throw away what is left in a lot, with the reason."""
    return _moved(lot, Move.THROWN, lambda held: -held.holds, _reason(reason), by, client_id, now)


def open_can(*, lot: Lot, by: CrewMember, client_id: UUID, now: datetime) -> Lot:
    """Write down that a can was opened."""
    return _moved(lot, Move.OPENED, lambda held: ledger.NOTHING, "", by, client_id, now)


def shake(*, lot: Lot, by: CrewMember, client_id: UUID, now: datetime) -> Lot:
    """Write down that a can was shaken or stirred until nothing was left at the bottom."""
    return _moved(lot, Move.SHAKEN, lambda held: ledger.NOTHING, "", by, client_id, now)


def _moved(
    lot: Lot,
    kind: Move,
    change: Callable[[Lot], Decimal],
    reason: str,
    by: CrewMember,
    client_id: UUID,
    now: datetime,
) -> Lot:
    with transaction.atomic():
        (held,) = ledger.locked(Lot.objects.filter(pk=lot.pk))
        if ledger.sent_before(client_id) is None:
            ledger.add(held, kind, change(held), at=now, by=by, recorded_at=now, reason=reason, client_id=client_id)
            Pulse.bump(stores=True)
        return held


def _heaps(pack: Pack, packs: int) -> Iterable[int]:
    return [1] * packs if pack.product.unit in IN_CANS else [packs]


def _lot(pack: Pack, packs: int, price: Decimal | None, **about: Any) -> tuple[Lot, Decimal]:
    cost = price * packs if price is not None else None
    lot = Lot(product=pack.product, pack=pack, cost=cost, **about)
    lot.full_clean(exclude=["product", "pack", "order"])
    lot.save()
    return lot, pack.amount * packs


def _come_of(line: OrderLine, packs: int) -> None:
    if packs > line.to_come:
        raise ValidationError({"packs": _("Only %(n)s of this order are still to come.") % {"n": line.to_come}})
    line.received += packs
    line.save(update_fields=["received"])


def _check_packs(packs: int, most: int) -> None:
    if not 1 <= packs <= most:
        raise ValidationError({"packs": _("From 1 to %(most)s packs at once.") % {"most": most}})


def _check_days(received_on: date, use_by: date | None, now: datetime) -> None:
    if received_on > now.date() + ONE_DAY:
        raise ValidationError({"received_on": _("That day has not come yet.")})
    if use_by and use_by < received_on:
        raise ValidationError({"use_by": _("It was out of date before it came in. Send it back.")})


def _reason(text: str) -> str:
    reason = text.strip()
    if not reason:
        raise ValidationError({"reason": _("Write the reason; it stays on record.")})
    if len(reason) > MOST_WORDS:
        raise ValidationError({"reason": _("Say it in %(most)s letters.") % {"most": MOST_WORDS}})
    return reason

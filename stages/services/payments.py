"""Payments are recorded once and never edited; a wrong one is struck with a reason."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils import timezone

from hulls.charging import currency_of
from hulls.estimate import Balance, EstimateError
from hulls.models import Hull, PaidBy, Payment, PaymentKind
from hulls.wording import gettext_noop
from shop.models import CrewMember, Pulse, Shop
from stages.engine.errors import EngineError
from stages.models import HullWork
from stages.queries.balances import balance_of
from stages.services.texts import checked_reason, checked_text

REFERENCE_LENGTH = 80
EARLIEST = date(2000, 1, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paid:
    """What came in, or went back: its kind, how much, on which day, how, and its reference."""

    kind: PaymentKind
    amount: Decimal
    on: date
    how: PaidBy
    reference: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What became of a payment.

    Parameters
    ----------
    payment : Payment or None
        The row, now or from before; None where one that looks the same stands in the way.
    repeated : bool
        The same form had been sent before.
    alike : Payment or None
        The one that looks the same: the person is asked.
    over : Decimal
        By how much it is more than is due.
    """

    payment: Payment | None = None
    repeated: bool = False
    alike: Payment | None = None
    over: Decimal = Decimal(0)


def record_payment(
    *, hull_id: int, paid: Paid, by: CrewMember, client_id: UUID, at: datetime, anyway: bool = False
) -> Receipt:
    """Record a payment; the same sender's number twice is one.

    One of the same kind, day, amount and reference as one on record is not recorded unless ``anyway``. More than is due
    is recorded, and the receipt says by how much.

    Raises
    ------
    EngineError
        With the field: an amount that is zero, negative or no money, a day to come, a refund of more than was paid, or
        a sender's number that belongs to another payment, or to one that was struck since.
    """
    reference = checked_text(paid.reference, "reference", REFERENCE_LENGTH, empty=True)
    amount = _checked(paid, at)
    try:
        return _recorded(hull_id, paid, amount, reference, by, client_id, at, anyway)
    except IntegrityError:  # the same number came twice at once: the other one is on record by now
        return _recorded(hull_id, paid, amount, reference, by, client_id, at, anyway)


def _checked(paid: Paid, at: datetime) -> Decimal:
    try:
        amount = currency_of(Shop.the_one()).checked(paid.amount, "amount")
    except EstimateError as error:
        raise EngineError(error.field, error.message) from error
    if not amount:
        raise EngineError("amount", gettext_noop("An amount is more than zero."))
    if paid.on > timezone.localtime(at).date():
        raise EngineError("on", gettext_noop("That day has not come yet."))
    if paid.on < EARLIEST:
        raise EngineError("on", gettext_noop("That day is too long ago."))
    return amount


@transaction.atomic
def _recorded(
    hull_id: int,
    paid: Paid,
    amount: Decimal,
    reference: str,
    by: CrewMember,
    client_id: UUID,
    at: datetime,
    anyway: bool,
) -> Receipt:
    locked(hull_id)
    if sent := Payment.objects.filter(client_id=client_id).first():
        return _repeated(sent, hull_id, paid, amount, reference)
    same = Payment.objects.standing().filter(
        hull_id=hull_id, kind=paid.kind, amount=amount, paid_on=paid.on, reference=reference
    )
    if not anyway and (alike := same.first()):
        return Receipt(alike=alike)
    balance = balance_of(hull_id)
    if paid.kind == PaymentKind.REFUND and amount > balance.paid:
        raise EngineError("amount", gettext_noop("That is more than was paid."))
    row = Payment.objects.create(
        hull_id=hull_id,
        client_id=client_id,
        kind=paid.kind,
        amount=amount,
        currency=Shop.the_one().currency,
        paid_on=paid.on,
        how=paid.how,
        reference=reference,
        recorded_at=at,
        recorded_by=by,
    )
    Pulse.bump(setup=True)
    return Receipt(payment=row, over=_over(paid, amount, balance))


def locked(hull_id: int) -> Hull:
    """Lock a hull, as every line of its log does, so that nobody hands it over or records money at the same moment."""
    row = HullWork.objects.select_for_update(of=("self",)).select_related("hull").get(pk=hull_id)
    return row.hull


def _repeated(sent: Payment, hull_id: int, paid: Paid, amount: Decimal, reference: str) -> Receipt:
    before = (sent.hull_id, sent.kind, sent.amount, sent.paid_on, sent.how, sent.reference)
    if before != (hull_id, paid.kind, amount, paid.on, paid.how, reference):
        raise EngineError("", gettext_noop("This form recorded another payment before. Open the page again."))
    if sent.is_struck:
        raise EngineError("", gettext_noop("This payment was struck since. Open the page again to record another."))
    return Receipt(payment=sent, repeated=True)


def _over(paid: Paid, amount: Decimal, balance: Balance) -> Decimal:
    if paid.kind == PaymentKind.REFUND:
        return Decimal(0)
    return max(amount - max(balance.due, Decimal(0)), Decimal(0))


def strike_payment(*, hull_id: int, payment: int, reason: str, by: CrewMember, at: datetime) -> Payment:
    """Take a payment back; it stays on record with the reason. Struck twice, the first reason stands.

    Raises
    ------
    EngineError
        Without a reason, for a payment that this hull has not, or where more was paid back than would be left.
    """
    reason = checked_reason(reason)
    with transaction.atomic():
        locked(hull_id)
        row = Payment.objects.filter(pk=payment, hull_id=hull_id).first()
        if row is None:
            raise EngineError("", gettext_noop("This boat has no such payment."))
        if row.is_struck:
            return row
        if row.kind != PaymentKind.REFUND and balance_of(hull_id).paid < row.amount:
            raise EngineError("", gettext_noop("Some of it was paid back since. Strike that refund first."))
        row.struck_at, row.struck_by, row.struck_because = at, by, reason
        row.save(update_fields=["struck_at", "struck_by", "struck_because"])
        Pulse.bump(setup=True)
    return row

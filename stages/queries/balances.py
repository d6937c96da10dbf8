"""Who still has to pay: for the engine in one query for all boats, and for pages boat by boat."""

from decimal import Decimal

from django.db.models import F, Value

from hulls.estimate import Balance
from hulls.models import Estimate, EstimateKind, Invoice, Payment, PaymentKind

AGREED, DEPOSIT, BILLED, HELD, PAID, REFUNDED = range(6)


def owing() -> dict[int, bool]:
    """By hull, whether something is still to be paid; without those where nothing was agreed or billed."""
    return {hull: not balance.is_clear for hull, balance in balances().items() if balance.has_account}


def balances(**which: object) -> dict[int, Balance]:
    """By hull, what is agreed, billed and paid, in one query; ``which`` narrows every table the same way."""
    agreed = Estimate.objects.agreed().filter(**which)
    standing = Payment.objects.standing().filter(**which)
    bills = Invoice.objects.filter(**which)
    first, *others = (
        rows.order_by().values_list("hull_id", F(column), Value(part))
        for rows, column, part in (
            (agreed, "total", AGREED),
            (agreed.filter(kind=EstimateKind.ESTIMATE), "deposit", DEPOSIT),
            (bills, "total", BILLED),
            (bills, "held", HELD),
            (standing.exclude(kind=PaymentKind.REFUND), "amount", PAID),
            (standing.filter(kind=PaymentKind.REFUND), "amount", REFUNDED),
        )
    )
    sums: dict[int, list[Decimal]] = {}
    for hull, amount, part in first.union(*others, all=True):
        sums.setdefault(hull, [Decimal(0)] * 6)[part] += amount
    return {hull: _balance(parts) for hull, parts in sums.items()}


def _balance(parts: list[Decimal]) -> Balance:
    return Balance(
        agreed=parts[AGREED],
        deposit=parts[DEPOSIT],
        billed=parts[BILLED],
        held=parts[HELD],
        paid=parts[PAID] - parts[REFUNDED],
    )


def balance_of(hull_id: int) -> Balance:
    """One hull's balance."""
    return balances(hull_id=hull_id).get(hull_id, Balance())

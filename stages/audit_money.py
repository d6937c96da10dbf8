"""Proof that money still is what was recorded: payments, invoices, their sums, and numbers without gaps."""

from collections.abc import Iterator
from decimal import Decimal

from hulls.estimate import EstimateError
from hulls.estimate.billed import read_bill
from hulls.models import Invoice, InvoiceKind, Payment
from stages.difference import Difference


def of_money() -> Iterator[Difference]:
    """Every difference, payments first."""
    for payment in Payment.objects.select_related("hull").order_by("pk").iterator(500):
        if not payment.holds:
            yield Difference(payment.hull.tag, f"payment {payment.pk}", "as it was recorded", "changed since")
    for invoice in Invoice.objects.select_related("hull", "credits").order_by("pk").iterator(100):
        yield from _of_invoice(invoice)
    for kind in InvoiceKind:
        numbers = set(Invoice.objects.filter(kind=kind).values_list("number", flat=True))
        for number in sorted(set(range(1, max(numbers, default=0) + 1)) - numbers):
            yield Difference(str(kind.label), "numbers", "no gap", f"no number {number}")


def _of_invoice(row: Invoice) -> Iterator[Difference]:
    if not row.holds:
        yield Difference(row.hull.tag, row.label, "as it was issued", "changed since")
        return
    sign = -1 if row.kind == InvoiceKind.CREDIT else 1
    try:
        sums = read_bill(row.body).sums
    except EstimateError as error:
        yield Difference(row.hull.tag, row.label, "sums that add up", error.message)
        return
    held = sum((Decimal(total) for _label, _version, total, _digest in row.body["papers"]), Decimal(0))
    wanted = (sign * sums.subtotal, sign * sums.total, sign * held)
    if wanted != (row.subtotal, row.total, row.held):
        yield Difference(row.hull.tag, row.label, wanted, (row.subtotal, row.total, row.held))

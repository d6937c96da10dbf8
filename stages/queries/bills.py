"""A hull's money as pages show it: its account, and one invoice ready to read."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from hulls.charging import currency_of
from hulls.estimate import Balance, Bill, Currency, EstimateError, LineKind, Margin, Reason
from hulls.estimate import Estimate as Sums
from hulls.estimate.bill import Row
from hulls.estimate.billed import read_bill
from hulls.models import Estimate, Hull, Invoice, InvoiceKind, PaidBy, Payment, PaymentKind
from hulls.wording import gettext_noop
from shop.models import Shop
from stages.queries.balances import balance_of
from stages.queries.used_on import Cost

ALTERED = gettext_noop("What stands here is not what was issued. It is not shown; ask the shop.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Everything that was agreed, billed and paid for a hull."""

    currency: Currency
    balance: Balance
    agreed: tuple[Estimate, ...]
    invoices: tuple[Invoice, ...]
    payments: tuple[Payment, ...]
    standing: Invoice | None

    @property
    def is_empty(self) -> bool:
        """Whether there is no money yet."""
        return not (self.agreed or self.invoices or self.payments)

    @property
    def half_even(self) -> bool:
        """Whether half a coin goes to the even one."""
        return self.currency.rounding == "half_even"

    @property
    def over(self) -> Decimal:
        """What the shop owes the boat's owner."""
        return max(-self.balance.due, Decimal(0))


def account_of(hull: Hull, shop: Shop) -> Account:
    """A hull's account, in four queries."""
    invoices = tuple(Invoice.objects.filter(hull_id=hull.pk).select_related("credits", "credit").order_by("pk"))
    found = Payment.objects.filter(hull_id=hull.pk).select_related("recorded_by", "struck_by")
    standing = (i for i in invoices if i.kind == InvoiceKind.INVOICE and not hasattr(i, "credit"))
    return Account(
        currency=currency_of(shop),
        balance=balance_of(hull.pk),
        agreed=tuple(Estimate.objects.agreed().filter(hull_id=hull.pk).order_by("sent_at", "pk")),
        invoices=invoices,
        payments=tuple(found),
        standing=next(standing, None),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BillGroup:
    """Rows of one kind, and what of them is charged."""

    title: str
    rows: tuple[tuple[Row, str], ...]
    total: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidLine:
    """A payment as it stands on an invoice; a refund is below zero."""

    says: str
    on: date
    amount: Decimal

    @property
    def off(self) -> Decimal:
        """What it adds to what is to be paid."""
        return -self.amount


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceDocument:
    """An invoice or credit note ready to read; ``label`` is empty for a draft. ``balance`` is as it was issued."""

    label: str
    title: str
    by_use: bool
    groups: tuple[BillGroup, ...]
    sums: Sums
    currency: str
    half_even: bool
    papers: tuple[tuple[str, int, Decimal], ...]
    payments: tuple[PaidLine, ...]
    balance: Decimal
    to: tuple[str, ...]
    boat: tuple[str, str]
    shop: tuple[str, ...]
    how_to_pay: str
    issued_on: date | None
    due_on: date | None
    takes_back: str
    reason: str
    digest: str

    @property
    def is_credit(self) -> bool:
        """Whether it takes an invoice back."""
        return bool(self.takes_back)


def invoice_document(body: Mapping[str, Any], row: Invoice | None = None) -> InvoiceDocument:
    """What stands on an invoice, from its body; of a draft there is no row.

    Raises
    ------
    EstimateError
        When it was changed so that it no longer adds up.
    """
    bill = read_bill(body)
    payments = tuple(_paid_line(*told) for told in body["payments"])
    return InvoiceDocument(
        label=row.label if row else "",
        title=_("Credit note") if row is not None and row.kind == InvoiceKind.CREDIT else _("Invoice"),
        by_use=bill.by == "used",
        groups=tuple(_groups(bill.rows)),
        sums=bill.sums,
        currency=bill.sums.currency.code,
        half_even=bill.sums.currency.rounding == "half_even",
        papers=tuple((label, version, Decimal(total)) for label, version, total, _digest in body["papers"]),
        payments=payments,
        balance=bill.sums.total - sum((line.amount for line in payments), Decimal(0)),
        to=tuple(filter(None, body["to"])),
        boat=tuple(body["boat"]),
        shop=tuple(filter(None, body["shop"])),
        how_to_pay=body["how_to_pay"],
        issued_on=row.issued_on if row else None,
        due_on=row.due_on if row else None,
        takes_back=row.credits.label if row and row.credits else "",
        reason=row.reason if row else "",
        digest=row.digest if row else "",
    )


def issued_document(row: Invoice) -> InvoiceDocument:
    """An invoice or credit note as it was issued.

    Raises
    ------
    EstimateError
        When the row is not what was issued any more.
    """
    if not row.holds:
        raise EstimateError("", ALTERED)
    return invoice_document(row.body, row)


def issued_bill(row: Invoice) -> Bill | None:
    """The figures of an invoice as it was issued; None where the row is not what was issued any more."""
    try:
        return read_bill(row.body) if row.holds else None
    except EstimateError:
        return None


def _groups(rows: Iterable[Row]) -> Iterable[BillGroup]:
    titles = {
        LineKind.HOURS: _("Work"),
        LineKind.MATERIAL: _("Materials"),
        LineKind.SUBCONTRACT: _("Sub-contracts and lump sums"),
        LineKind.DISCOUNT: _("Taken off"),
    }
    why = {
        Reason.AS_AGREED: "",
        Reason.AS_USED: _("by what was used"),
        Reason.UNTOLD: _("nothing on record, as agreed"),
        Reason.NO_PRICE: _("its cost is not on record, not charged"),
        Reason.NOT_AGREED: _("not agreed, not charged"),
        Reason.IN_STEPS: _("among the hours of the steps"),
    }
    rows = tuple(rows)
    for kind, title in titles.items():
        found = tuple((row, why[row.reason]) for row in rows if row.kind is kind)
        if found:
            total = sum((row.billed for row, _why in found), Decimal(0))
            yield BillGroup(title=title, rows=found, total=total)


def _paid_line(kind: str, on: str, how: str, reference: str, amount: str) -> PaidLine:
    says = f"{PaymentKind(kind).label}, {PaidBy(how).label}"
    signed = -Decimal(amount) if kind == PaymentKind.REFUND else Decimal(amount)
    return PaidLine(says=f"{says}, {reference}" if reference else says, on=date.fromisoformat(on), amount=signed)


def margin_of(invoices: Iterable[Invoice], cost: Cost, shop: Shop) -> Margin:
    """What a boat leaves to the shop by its invoices; its hours and materials are those on record today."""
    invoices = tuple(invoices)
    read = ((1 if i.kind == InvoiceKind.INVOICE else -1, issued_bill(i)) for i in invoices)
    lumps = (sign * bill.sums.of(LineKind.SUBCONTRACT) for sign, bill in read if bill)
    return Margin(
        charged=sum((i.subtotal for i in invoices), Decimal(0)),
        materials=cost.materials,
        hours=cost.hours,
        hour_cost=shop.hour_cost,
        subcontracts=sum(lumps, Decimal(0)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ToPay:
    """What a boat's owner reads of money: what is to be paid now, for what, by when, and how."""

    now: Decimal
    due: Decimal
    paid: Decimal
    currency: str
    invoice: Invoice | None
    how: str


def to_pay(hull_id: int, shop: Shop) -> ToPay | None:
    """A boat's money as its owner sees it, in two queries; None where nothing was agreed or billed."""
    balance = balance_of(hull_id)
    found = Invoice.objects.filter(hull_id=hull_id, kind=InvoiceKind.INVOICE, credit__isnull=True)
    invoice = found.order_by("pk").first()
    if not balance.has_account:
        return None
    return ToPay(
        now=balance.due_now,
        due=balance.due,
        paid=balance.paid,
        currency=shop.currency,
        invoice=invoice,
        how=shop.how_to_pay,
    )

"""The books of a period: what came in, what was billed, and what each boat left to the shop."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _

from hulls.charging import currency_of
from hulls.estimate import Balance, Currency, Margin
from hulls.models import Hull, Invoice, InvoiceKind, Payment, PaymentKind
from shop.models import Shop
from shop.sheets.writing import Cell
from stages.queries.balances import balances
from stages.queries.bills import ALTERED, issued_bill, margin_of
from stages.queries.used_on import Cost, costs_of

Table = tuple[tuple[str, ...], Iterator[tuple[Cell, ...]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Boat:
    """A boat that was billed in the period: its margin, and its balance today."""

    tag: str
    name: str
    margin: Margin
    due: Decimal
    unknown: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """A period's sums, its boats, who owes today, and the invoices that are not what was issued any more."""

    currency: str
    paid: Decimal
    billed: Decimal
    taxes: Decimal
    left: Decimal
    boats: tuple[Boat, ...]
    owing: tuple[tuple[str, str, Balance], ...]
    altered: tuple[Invoice, ...]


def books_of(first: date, last: date, shop: Shop) -> Books:
    """The period, both days counted, in nine queries."""
    currency = currency_of(shop)
    invoices = invoices_in(first, last)
    boats = tuple(_boats(invoices, shop))
    paid = Payment.objects.standing().filter(paid_on__range=(first, last)).order_by()
    signed = [-p.amount if p.kind == PaymentKind.REFUND else p.amount for p in paid]
    return Books(
        currency=currency.code,
        paid=sum(signed, Decimal(0)),
        billed=sum((i.total for i in invoices), Decimal(0)),
        taxes=sum((i.total - i.subtotal for i in invoices), Decimal(0)),
        left=sum((boat.margin.left for boat in boats), Decimal(0)),
        boats=boats,
        owing=tuple(_owing()),
        altered=tuple(invoice for invoice in invoices if not invoice.holds),
    )


def invoices_in(first: date, last: date) -> tuple[Invoice, ...]:
    """The invoices and credit notes of a period, in one query."""
    found = Invoice.objects.filter(issued_on__range=(first, last)).select_related("hull__owner", "credits", "credit")
    return tuple(found.order_by("issued_on", "pk"))


def _boats(invoices: tuple[Invoice, ...], shop: Shop) -> Iterator[Boat]:
    """Each boat; what it took counts once, beside the invoice that stands, however often it was billed anew."""
    hulls = {invoice.hull_id: invoice.hull for invoice in invoices}
    costs, due = costs_of(hulls), balances(hull_id__in=list(hulls))
    for pk, hull in hulls.items():
        mine = [invoice for invoice in invoices if invoice.hull_id == pk]
        cost = costs[pk] if any(map(_stands, mine)) else Cost()
        margin = margin_of(mine, cost, shop)
        yield Boat(tag=hull.tag, name=hull.name, margin=margin, due=due.get(pk, Balance()).due, unknown=cost.unknown)


def _stands(invoice: Invoice) -> bool:
    return invoice.kind == InvoiceKind.INVOICE and not hasattr(invoice, "credit")


def _owing() -> Iterator[tuple[str, str, Balance]]:
    open_ones = {hull: balance for hull, balance in balances().items() if not balance.is_clear}
    for hull in Hull.objects.filter(pk__in=open_ones).select_related("owner").order_by("tag"):
        yield hull.tag, hull.owner.name, open_ones[hull.pk]


def payments_table(first: date, last: date, shop: Shop) -> Table:
    """Every payment of a period, struck ones too; a refund is below zero."""
    head = ("day", "hull", "owner", "kind", "amount", "currency", "how", "reference", "recorded", "struck", "because")
    found = Payment.objects.filter(paid_on__range=(first, last)).select_related("hull__owner")
    rows = (
        (
            row.paid_on,
            row.hull.tag,
            row.hull.owner.name,
            row.kind,
            _coins(-row.amount if row.kind == PaymentKind.REFUND else row.amount, row.currency),
            row.currency,
            row.how,
            row.reference,
            row.recorded_at.astimezone(shop.zone_info).date(),
            row.struck_at.astimezone(shop.zone_info).date() if row.struck_at else None,
            row.struck_because,
        )
        for row in found
    )
    return head, rows


def invoices_table(first: date, last: date, shop: Shop) -> Table:
    """Every invoice and credit note of a period."""
    head = ("day", "number", "kind", "takes_back", "hull", "owner", "before_tax", "tax", "total", "currency", "due")
    rows = (
        (
            row.issued_on,
            row.label,
            row.kind,
            row.credits.label if row.credits else None,
            row.hull.tag,
            row.hull.owner.name,
            _coins(row.subtotal, row.currency),
            _coins(row.total - row.subtotal, row.currency),
            _coins(row.total, row.currency),
            row.currency,
            row.due_on,
        )
        for row in invoices_in(first, last)
    )
    return head, rows


def lines_table(first: date, last: date, shop: Shop) -> Table:
    """Every row of every invoice of a period: agreed, real, charged; a credit note's is charged below zero."""
    head = ("day", "number", "hull", "kind", "what", "agreed", "real", "charged", "currency", "because")
    return head, (row for invoice in invoices_in(first, last) for row in _rows_of(invoice))


def _rows_of(invoice: Invoice) -> Iterator[tuple[Cell, ...]]:
    """The rows of an invoice; one that says so, without any figure, where it is not what was issued any more."""
    bill, code, tag = issued_bill(invoice), invoice.currency, invoice.hull.tag
    sign = -1 if invoice.kind == InvoiceKind.CREDIT else 1
    if bill is None:
        yield (invoice.issued_on, invoice.label, tag, "", _(ALTERED), None, None, None, code, "")
        return
    for row in bill.rows:
        yield (
            invoice.issued_on,
            invoice.label,
            tag,
            str(row.kind),
            row.words,
            _coins(row.agreed, code),
            None if row.real is None else _coins(row.real, code),
            _coins(sign * row.billed, code),
            code,
            str(row.reason),
        )


def boats_table(first: date, last: date, shop: Shop) -> Table:
    """Each boat that was billed in a period, with its margin."""
    head = ("hull", "before_tax", "materials", "hours", "work", "subcontracts", "margin", "margin_pct", "currency")
    code = shop.currency
    rows = (
        (
            boat.tag,
            _coins(boat.margin.charged, code),
            _coins(boat.margin.materials, code),
            boat.margin.hours,
            _coins(boat.margin.work, code),
            _coins(boat.margin.subcontracts, code),
            _coins(boat.margin.left, code),
            None if boat.margin.pct is None else boat.margin.pct.quantize(Decimal("0.1")),
            code,
        )
        for boat in _boats(invoices_in(first, last), shop)
    )
    return head, rows


def _coins(amount: Decimal, code: str) -> Decimal:
    """An amount with the decimals of its currency."""
    return Currency(code=code).rounded(amount)


TABLES = {
    "payments": payments_table,
    "invoices": invoices_table,
    "lines": lines_table,
    "boats": boats_table,
}

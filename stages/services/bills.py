"""Invoices are drawn up from the record, numbered and frozen when they are issued, and taken back by credit notes."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils import timezone

from hulls.estimate import EstimateError
from hulls.models import Hull, Invoice, InvoiceKind
from hulls.wording import gettext_noop
from shop.models import CrewMember, Pulse, Shop
from stages.engine.errors import EngineError
from stages.models import HullWork
from stages.queries.billing import draw_up
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.messages import tell_of_invoice
from stages.services.payments import locked
from stages.services.texts import checked_reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Issue:
    """Who issues, when, the sender's number, and the digest of the draft that they looked at."""

    by: CrewMember
    at: datetime
    client_id: UUID
    seen: str


def issue_invoice(*, hull_id: int, issue: Issue) -> Invoice:
    """Number a hull's bill and freeze it; the same sender's number twice is one invoice.

    Raises
    ------
    EngineError
        When an invoice stands already, something changed since the draft was looked at, or there is nothing to bill.
    """
    try:
        return _issued(hull_id, issue)
    except IntegrityError:  # the same number came twice at once: the other one is on record by now
        return _issued(hull_id, issue)


@transaction.atomic
def _issued(hull_id: int, issue: Issue) -> Invoice:
    hull = locked(hull_id)
    if sent := _sent(hull_id, issue.client_id):
        return sent
    if standing_invoice(hull_id) is not None:
        raise EngineError("", gettext_noop("An invoice stands for this boat. A credit note takes it back first."))
    shop = _locked_shop()
    row = HullWork.objects.select_related("hull__owner", "route").get(pk=hull_id)
    try:
        drawn = draw_up(row.hull, in_work([row], around().world)[0].work, shop)
    except EstimateError as error:
        raise EngineError("", error.message) from error
    if drawn.seen != issue.seen:
        raise EngineError(
            "", gettext_noop("Something changed since you looked at it. Look at it again, then issue it.")
        )
    number = _next_number(InvoiceKind.INVOICE)
    day = timezone.localtime(issue.at).date()
    invoice = Invoice(
        hull=hull,
        client_id=issue.client_id,
        kind=InvoiceKind.INVOICE,
        number=number,
        label=f"{shop.invoice_prefix}{number}",
        body=drawn.body,
        currency=drawn.bill.sums.currency.code,
        subtotal=drawn.bill.sums.subtotal,
        total=drawn.bill.sums.total,
        held=drawn.held,
        issued_on=day,
        due_on=day + timedelta(days=shop.payment_days),
        recorded_at=issue.at,
        issued_by=issue.by,
    )
    return _kept(invoice)


def credit_invoice(
    *, hull_id: int, invoice: int, reason: str, by: CrewMember, at: datetime, client_id: UUID
) -> Invoice:
    """Take an invoice back as a whole; what was right in it is issued anew. Taken back twice, the first note stands.

    Raises
    ------
    EngineError
        Without a reason, or where the hull has no such invoice, or it is not what was issued any more.
    """
    reason = checked_reason(reason)
    with transaction.atomic():
        hull = locked(hull_id)
        row = Invoice.objects.filter(pk=invoice, hull_id=hull_id, kind=InvoiceKind.INVOICE).first()
        if row is None:
            raise EngineError("", gettext_noop("This boat has no such invoice."))
        if before := Invoice.objects.filter(credits=row).first():
            return before
        if not row.holds:
            raise EngineError("", gettext_noop("This invoice is not what was issued any more; it is not taken back."))
        shop = _locked_shop()
        return _kept(_credit_note(hull, row, shop, reason, by, at, client_id))


def _credit_note(
    hull: Hull, row: Invoice, shop: Shop, reason: str, by: CrewMember, at: datetime, client_id: UUID
) -> Invoice:
    number = _next_number(InvoiceKind.CREDIT)
    return Invoice(
        hull=hull,
        client_id=client_id,
        kind=InvoiceKind.CREDIT,
        number=number,
        label=f"{shop.credit_prefix}{number}",
        credits=row,
        reason=reason,
        body=row.body,
        currency=row.currency,
        subtotal=-row.subtotal,
        total=-row.total,
        held=-row.held,
        issued_on=timezone.localtime(at).date(),
        recorded_at=at,
        issued_by=by,
    )


def standing_invoice(hull_id: int) -> Invoice | None:
    """The invoice of a hull that no credit note took back."""
    return Invoice.objects.filter(hull_id=hull_id, kind=InvoiceKind.INVOICE, credit__isnull=True).first()


def _sent(hull_id: int, client_id: UUID) -> Invoice | None:
    sent = Invoice.objects.filter(client_id=client_id).first()
    if sent is not None and sent.hull_id != hull_id:
        raise EngineError("", gettext_noop("This was sent before, about another hull."))
    return sent


def _locked_shop() -> Shop:
    """The shop's row, locked: two invoices never look for the next number at once."""
    return Shop.objects.select_for_update().filter(pk=1).first() or Shop.the_one()


def _next_number(kind: InvoiceKind) -> int:
    """One more than the highest: what was issued is never deleted, so the numbers have no gaps."""
    highest = Invoice.objects.filter(kind=kind).aggregate(highest=Max("number"))["highest"]
    return (highest or 0) + 1


def _kept(invoice: Invoice) -> Invoice:
    invoice.save()
    if invoice.kind == InvoiceKind.INVOICE:
        tell_of_invoice(invoice)
    Pulse.bump(setup=True)
    return invoice

"""Invoices, for the shop's owner: looked at, issued, printed, and taken back by a credit note."""

from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from hulls.estimate import EstimateError
from hulls.models import Hull, Invoice, InvoiceKind
from shop.access import me, shop_owner
from shop.pdf import Paper, PdfError, pdf_of
from stages.engine.errors import EngineError
from stages.forms.bills import IssueForm, ReasonForm
from stages.queries.billing import draw_up
from stages.queries.bills import invoice_document, issued_document
from stages.services.bills import Issue, credit_invoice, issue_invoice, standing_invoice
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED, TOO_LATE, NOT_NOW = 422, 409, 503
DRAFT, ISSUED = "stages/bill_draft.html", "stages/bill_issued.html"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def invoice_draft(request: FloorRequest, tag: str) -> HttpResponse:
    """What an invoice would say today; a post issues exactly that."""
    hull = hull_at_hand(request, tag)
    form = IssueForm(request.POST if request.method == "POST" else None)
    page: dict[str, object] = {"hull": hull.hull}
    if form.is_bound and form.is_valid():
        told = form.cleaned_data
        issue = Issue(by=me(request), at=hull.now, client_id=told["client_id"], seen=told["seen"])
        try:
            issued = issue_invoice(hull_id=hull.row.pk, issue=issue)
            return redirect("invoice", tag=tag, pk=issued.pk)
        except EngineError as error:
            page["refused"] = _(error.message)
    elif (held := standing_invoice(hull.row.pk)) is not None:
        return redirect("invoice", tag=tag, pk=held.pk)
    try:
        drawn = draw_up(hull.hull, hull.work, request.shop)
        begins = {"client_id": uuid4(), "seen": drawn.seen}
        page |= {"doc": invoice_document(drawn.body), "form": IssueForm(initial=begins)}
    except EstimateError as error:
        page["refused"] = _(error.message)
    return render(request, DRAFT, page, status=REFUSED if form.is_bound else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def invoice(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """An invoice or credit note as it was issued; a post takes an invoice back."""
    hull = hull_at_hand(request, tag)
    row = _row(hull.hull, pk)
    try:
        doc = issued_document(row)
    except EstimateError as error:
        altered = {"hull": hull.hull, "altered": row, "why": _(error.message)}
        return render(request, ISSUED, altered, status=TOO_LATE)
    form = ReasonForm(request.POST if request.method == "POST" else None, about=row.pk)
    if form.is_bound and form.is_valid():
        told = form.cleaned_data
        try:
            note = credit_invoice(
                hull_id=hull.row.pk,
                invoice=row.pk,
                reason=told["reason"],
                by=me(request),
                at=hull.now,
                client_id=told["client_id"],
            )
            messages.success(request, _("%(label)s takes it back.") % {"label": note.label})
            return redirect("invoice", tag=tag, pk=note.pk)
        except EngineError as error:
            form.blame(error)
    page = {
        "hull": hull.hull,
        "row": row,
        "doc": doc,
        "form": form,
        "note": getattr(row, "credit", None),
        "may_credit": row.kind == InvoiceKind.INVOICE and not hasattr(row, "credit"),
    }
    return render(request, ISSUED, page, status=REFUSED if form.is_bound else 200)


@require_safe
@never_cache
@shop_owner
def invoice_pdf(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """Print one, on A4 or US Letter."""
    return printed_invoice(request, _row(hull_at_hand(request, tag).hull, pk))


def printed_invoice(request: FloorRequest, row: Invoice) -> HttpResponse:
    """Lay an invoice out as a PDF."""
    paper = Paper.LETTER if request.GET.get("paper") == "letter" else Paper.A4
    try:
        html = render_to_string("stages/bill_pdf.html", {"doc": issued_document(row)})
        content = pdf_of(html, request.build_absolute_uri("/"), paper)
    except EstimateError as error:
        return HttpResponse(_(error.message), status=TOO_LATE, content_type="text/plain; charset=utf-8")
    except PdfError as error:
        return HttpResponse(str(error), status=NOT_NOW, content_type="text/plain; charset=utf-8")
    response = HttpResponse(content, content_type="application/pdf")
    name = "".join(letter for letter in f"{row.hull.tag}-{row.label}" if letter.isalnum() or letter in "-_.")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response


def _row(hull: Hull, pk: int) -> Invoice:
    row = Invoice.objects.filter(pk=pk, hull_id=hull.pk).select_related("credits", "credit", "hull").first()
    if row is None:
        raise Http404(_("This boat has no such invoice."))
    return row

"""The shop's side of estimates: work one out, send it, look at what was sent, print it, take it back."""

from uuid import UUID, uuid4

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from hulls.estimate import EstimateError
from hulls.models import Estimate, EstimateKind, Hull
from shop.access import crew, me, shop_owner
from shop.models import Shop
from shop.pdf import Paper, PdfError, pdf_of
from stages.engine.errors import EngineError
from stages.engine.route import Route
from stages.forms.answer import ToldForm
from stages.forms.estimate import EstimateForm
from stages.queries.estimate_asked import Asked
from stages.queries.estimates import document_of, draft_document, of_hull, waiting
from stages.queries.estimating import Basis, basis_of, reckoned
from stages.queries.sheet import AtHand
from stages.services.answers import answer_estimate
from stages.services.estimates import prepare_estimate, send_estimate, withdraw_estimate
from stages.services.orders import Hand
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED, TOO_LATE, NOT_NOW = 422, 409, 503
PAGE, SENT = "stages/estimate.html", "stages/estimate_sent.html"


@require_safe
@never_cache
@crew
def estimates(request: FloorRequest) -> HttpResponse:
    """What waits for an owner's answer."""
    return render(request, "stages/estimates.html", {"waiting": waiting(timezone.now())})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def estimate(request: FloorRequest, tag: str) -> HttpResponse:
    """Work out the estimate of a hull; what is typed is kept as its draft."""
    hull = hull_at_hand(request, tag)
    agreed = Estimate.objects.agreed().filter(hull_id=hull.row.pk, kind=EstimateKind.ESTIMATE).first()
    if agreed is not None:
        return redirect("estimate_sent", tag=tag, pk=agreed.pk)
    try:
        basis = basis_of(hull.hull, hull.work, request.shop)
    except EstimateError as error:
        return render(request, PAGE, {"hull": hull.hull, "unset": _(error.message)}, status=REFUSED)
    if request.method != "POST":
        held = _last(hull)
        form = EstimateForm(basis=basis, asked=Asked.read(held.asked if held else {}))
        return _shown(request, hull, basis, form, held)
    form = EstimateForm(request.POST, basis=basis, asked=Asked())
    if form.is_valid():
        try:
            prepare_estimate(hull_id=hull.row.pk, asked=form.told(), by=me(request), at=hull.now)
            return redirect("estimate", tag=tag)
        except EngineError as error:
            form.blame(error)
    return _shown(request, hull, basis, form, None, status=REFUSED)


def _last(hull: AtHand) -> Estimate | None:
    """The draft, or the version that was sent last, from which the next one begins."""
    rows = Estimate.objects.filter(hull_id=hull.row.pk, kind=EstimateKind.ESTIMATE)
    return rows.order_by("-pk").first()


def _shown(
    request: FloorRequest, hull: AtHand, basis: Basis, form: EstimateForm, held: Estimate | None, status: int = 200
) -> HttpResponse:
    """The form beside what the owner would read."""
    page = {"hull": hull.hull, "form": form, "sent": of_hull(hull.hull, hull.now), "client_id": uuid4()}
    page["draft"] = held if held and held.sent_at is None else None
    try:
        asked = form.asked if not form.is_bound else form.told() if form.is_valid() else Asked()
        page["doc"] = draft_document(reckoned(basis, asked).sums, asked.words)
    except EstimateError as error:
        page["unset"] = _(error.message)
    return render(request, PAGE, page, status=status)


@require_POST
@never_cache
@crew
def estimate_send(request: FloorRequest, tag: str) -> HttpResponse:
    """Send the draft to the boat's owner."""
    hull = hull_at_hand(request, tag)
    try:
        number = int(request.POST.get("draft", ""))
        hand = Hand(by=me(request), at=hull.now, client_id=UUID(request.POST.get("client_id", "")))
    except ValueError:
        raise Http404(_("There is no such draft.")) from None
    try:
        outcome = send_estimate(hull_id=hull.row.pk, estimate=number, hand=hand)
    except EngineError as error:
        messages.error(request, _(error.message))
        return redirect("estimate", tag=tag)
    if outcome.entry is None:
        raise Http404(_("There is no such draft."))
    messages.success(request, _("It is sent: the boat's owner finds it behind the progress link."))
    return redirect("estimate_sent", tag=tag, pk=outcome.entry.details["estimate"])


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def estimate_sent(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """Look at what was sent; the shop's owner writes down here what a boat's owner said by word of mouth."""
    if request.method == "POST" and not me(request).is_shop_owner:
        raise PermissionDenied
    hull = hull_at_hand(request, tag)
    row = _row(hull.hull, pk)
    try:
        doc = document_of(row, hull.work.route, hull.now)
    except EstimateError as error:
        return render(request, SENT, {"hull": hull.hull, "altered": row, "why": _(error.message)}, status=TOO_LATE)
    form = ToldForm(request.POST if request.method == "POST" else None)
    status = 200
    if request.method == "POST":
        if form.is_valid():
            hand = Hand(by=me(request), at=hull.now, client_id=form.cleaned_data["client_id"])
            try:
                answer_estimate(hull_id=hull.row.pk, reply=form.reply(row), hand=hand)
                return redirect("estimate_sent", tag=tag, pk=pk)
            except EngineError as error:
                form.blame(error)
        status = REFUSED
    page = {
        "hull": hull.hull,
        "doc": doc,
        "form": form,
        "client_id": uuid4(),
        "boss": me(request).is_shop_owner,
    }
    return render(request, SENT, page, status=status)


@require_POST
@never_cache
@shop_owner
def estimate_withdraw(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """Take back what was sent and has no answer."""
    hull = hull_at_hand(request, tag)
    try:
        hand = Hand(by=me(request), at=hull.now, client_id=UUID(request.POST.get("client_id", "")))
        withdraw_estimate(hull_id=hull.row.pk, estimate=pk, hand=hand)
        messages.success(request, _("It is withdrawn; nothing waits for it any more."))
    except ValueError as error:
        messages.error(request, _(error.message) if isinstance(error, EngineError) else _("Send that again."))
    return redirect("sheet", tag=tag)


@require_safe
@never_cache
@crew
def estimate_pdf(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """Print what was sent, on A4 or US Letter."""
    hull = hull_at_hand(request, tag)
    return printed(request, _row(hull.hull, pk), hull.work.route)


def printed(request: FloorRequest, row: Estimate, route: Route) -> HttpResponse:
    """Lay an estimate out as a PDF."""
    paper = Paper.LETTER if request.GET.get("paper") == "letter" else Paper.A4
    try:
        content = pdf_of(pdf_page(row, route, request.shop), request.build_absolute_uri("/"), paper)
    except EstimateError as error:
        return HttpResponse(_(error.message), status=TOO_LATE, content_type="text/plain; charset=utf-8")
    except PdfError as error:
        return HttpResponse(str(error), status=NOT_NOW, content_type="text/plain; charset=utf-8")
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{row.hull.tag.replace("/", "-")}-{row.label}.pdf"'
    return response


def pdf_page(row: Estimate, route: Route, shop: Shop) -> str:
    """The page of the PDF."""
    doc = document_of(row, route, timezone.now())
    return render_to_string("stages/estimate_pdf.html", {"doc": doc, "hull": row.hull, "shop": shop})


def _row(hull: Hull, pk: int) -> Estimate:
    row = Estimate.objects.filter(pk=pk, hull_id=hull.pk, sent_at__isnull=False).select_related("hull__owner").first()
    if row is None:
        raise Http404(_("Nothing like that was sent for this hull."))
    return row

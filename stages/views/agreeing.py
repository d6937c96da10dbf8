"""A boat's owner answers behind the progress link: one click, no log-in, no script. The secret address is the key."""

from django.http import HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from hulls.models import Estimate, Invoice
from stages.engine.errors import EngineError
from stages.forms.answer import AnswerForm
from stages.queries.routes import engine_route
from stages.services.answers import answer_estimate
from stages.services.orders import Guest
from stages.views.estimates import printed
from stages.views.floor import FloorRequest
from stages.views.invoices import printed_invoice
from stages.views.progress import Refused, View, opened, owner_page, secret, unknown_link, with_headers


class SeeOther(HttpResponseRedirect):
    """The answer to a post that was done: look there now."""

    status_code = 303


def secret_post(view: View) -> View:
    """Let a view behind a secret address take what was sent.

    No cookie tells who sends: whoever knows the address may answer, and nobody else can make them. So there is no
    forgery to guard against.
    """
    return with_headers(require_POST(view))


@secret_post
def answer(request: FloorRequest, token: str) -> HttpResponse:
    """Take the owner's answer; where it cannot be taken, show why beside what was typed."""
    row = opened(token)
    if row is None:
        return unknown_link(request.shop)
    form = AnswerForm(request.POST)
    if form.is_valid():
        guest = Guest(at=timezone.now(), client_id=form.cleaned_data["client_id"])
        try:
            answer_estimate(hull_id=row.pk, reply=form.reply(), hand=guest)
            return SeeOther(reverse("progress", kwargs={"token": token}) + "#agreed")
        except EngineError as error:
            form.blame(error)
    return owner_page(request, row, token, Refused(answer=form))


@secret
def agreement_pdf(request: FloorRequest, token: str, pk: int) -> HttpResponse:
    """Send what a boat's owner is asked or agreed to, as a PDF."""
    row = opened(token)
    papers = Estimate.objects.filter(pk=pk, hull_id=row.pk, sent_at__isnull=False) if row else Estimate.objects.none()
    paper = papers.select_related("hull__owner").first()
    if row is None or paper is None:
        return unknown_link(request.shop)
    return printed(request, paper, engine_route(row.route))


@secret
def owner_invoice(request: FloorRequest, token: str, pk: int) -> HttpResponse:
    """Send an invoice to the boat's owner, as a PDF."""
    row = opened(token)
    found = Invoice.objects.filter(pk=pk, hull_id=row.pk) if row else Invoice.objects.none()
    invoice = found.select_related("hull", "credits").first()
    if invoice is None:
        return unknown_link(request.shop)
    return printed_invoice(request, invoice)

"""A hull's account, for the shop's owner: what was agreed, billed and paid; payments are recorded and struck here."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from hulls.charging import money
from hulls.models import Payment
from shop.access import me, shop_owner
from stages.engine.errors import EngineError
from stages.forms.bills import PaymentForm, ReasonForm
from stages.queries.bills import Account, account_of, margin_of
from stages.queries.sheet import AtHand
from stages.queries.used_on import costs_of
from stages.services.payments import Receipt, record_payment, strike_payment
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED, ASKED = 422, 409
PAGE = "stages/bill.html"


@require_safe
@never_cache
@shop_owner
def bill(request: FloorRequest, tag: str) -> HttpResponse:
    """Show the account."""
    hull = hull_at_hand(request, tag)
    return _shown(request, hull, account_of(hull.hull, request.shop))


@require_POST
@never_cache
@shop_owner
def payment(request: FloorRequest, tag: str) -> HttpResponse:
    """Record a payment; one that looks like another is asked about first."""
    hull = hull_at_hand(request, tag)
    account = account_of(hull.hull, request.shop)
    form, receipt = paid_by(request, hull, account)
    if receipt is None:
        return _shown(request, hull, account, form=form, status=REFUSED)
    if receipt.alike is not None:
        return _shown(request, hull, account, form=form, alike=receipt.alike, status=ASKED)
    say_paid(request, receipt, account)
    return redirect("bill", tag=tag)


def paid_by(request: FloorRequest, hull: AtHand, account: Account) -> tuple[PaymentForm, Receipt | None]:
    """Record the payment that was sent; the form with what is wrong with it, or what became of the payment."""
    form = PaymentForm(request.POST, currency=account.currency, balance=account.balance)
    if not form.is_valid():
        return form, None
    data = form.cleaned_data
    try:
        receipt = record_payment(
            hull_id=hull.row.pk,
            paid=form.told(),
            by=me(request),
            client_id=data["client_id"],
            at=hull.now,
            anyway=data["anyway"],
        )
    except EngineError as error:
        form.blame(error)
        return form, None
    form.asks = receipt.alike is not None
    return form, receipt


def say_paid(request: FloorRequest, receipt: Receipt, account: Account) -> None:
    """Say that a payment is on record, and where it is more than is due, by how much."""
    messages.success(request, _("It is recorded."))
    if receipt.over:
        words = _("That is %(over)s more than is due. Check it, or pay it back.")
        messages.warning(request, words % {"over": money(receipt.over, account.currency.code)})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def payment_strike(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """Take a payment back, with a reason."""
    hull = hull_at_hand(request, tag)
    row = Payment.objects.filter(pk=pk, hull_id=hull.row.pk).first()
    if row is None:
        raise Http404(_("This boat has no such payment."))
    form = ReasonForm(request.POST if request.method == "POST" else None, about=row.pk)
    if form.is_bound and form.is_valid():
        try:
            reason = form.cleaned_data["reason"]
            strike_payment(hull_id=hull.row.pk, payment=row.pk, reason=reason, by=me(request), at=hull.now)
            return redirect("bill", tag=tag)
        except EngineError as error:
            form.blame(error)
    account = account_of(hull.hull, request.shop)
    return _shown(request, hull, account, strikes=(row, form), status=REFUSED if form.is_bound else 200)


def _shown(
    request: FloorRequest,
    hull: AtHand,
    account: Account,
    *,
    form: PaymentForm | None = None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    cost = costs_of([hull.row.pk])[hull.row.pk]
    page = {
        "hull": hull.hull,
        "account": account,
        "form": form or PaymentForm(currency=account.currency, balance=account.balance),
        "margin": margin_of(account.invoices, cost, request.shop),
        "unknown": cost.unknown,
        "currency": account.currency.code,
        **more,
    }
    return render(request, PAGE, page, status=status)

"""A boat goes home: its balance, its last photos, the care talk, the signature, on one page."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST
from django_htmx.http import HttpResponseClientRedirect

from hulls.charging import currency_of
from hulls.models import Payment
from shop.access import crew, me, shop_owner
from shop.models import Pulse
from stages.engine.errors import EngineError
from stages.engine.leaving import in_the_way
from stages.forms.bills import PaymentForm
from stages.forms.hand_over import FinalShotForm, HandOverForm
from stages.models import HullWork
from stages.queries.bills import account_of
from stages.queries.hand_over import Side, leaving
from stages.queries.sheet import AtHand
from stages.saying import when
from stages.services.hand_over import hand_over, keep_signed_paper
from stages.services.orders import Outcome
from stages.services.photos import add_photos
from stages.views.acts import SeeOther
from stages.views.bills import paid_by, say_paid
from stages.views.finish_records import for_the_crew, paper_for_the_crew
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED, ASKED = 422, 409
PAGE = "stages/hand_over.html"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def hand_over_page(request: FloorRequest, tag: str) -> HttpResponse:
    """Show what is asked for, or hand the boat over; a refusal keeps all that was filled in and drawn."""
    hull = hull_at_hand(request, tag)
    if request.method != "POST":
        return _shown(request, hull)
    form = HandOverForm(request.POST, request.FILES, at_hand=hull)
    is_valid = form.is_valid()
    is_kept = _keep_paper(request, hull, form)
    if not (is_valid and is_kept):
        return _shown(request, hull, form=form, status=REFUSED)
    try:
        hand = form.hand(me(request), hull.now)
        outcome = hand_over(hull_id=hull.row.pk, receipt=form.receipt(), hand=hand, hours=form.hours_told)
    except EngineError as error:
        form.blame(error)
        return _shown(request, hull, form=form, status=REFUSED)
    if outcome.refused:
        form.refuse(Outcome(findings=in_the_way(hull.work, hull.now)), me(request), hull.now)
        return _shown(request, hull, form=form, status=REFUSED)
    if outcome.repeated and HullWork.objects.filter(pk=hull.row.pk, handed_over_at=None).exists():
        form.renew()
        return _shown(request, hull, form=form, status=REFUSED)
    return _after(request, hull, outcome)


def _keep_paper(request: FloorRequest, hull: AtHand, form: HandOverForm) -> bool:
    """Keep the photo of the signed paper, also where something else is wrong: nobody photographs it twice."""
    file = form.paper_sent()
    if file is None or "client_id" not in form.cleaned_data:
        return True
    try:
        photo = keep_signed_paper(hull_id=hull.row.pk, file=file, hand=form.hand(me(request), hull.now))
    except EngineError as error:
        form.add_error("signed_paper", _(error.message))
        return False
    form.remember_paper(photo)
    return True


def _after(request: FloorRequest, hull: AtHand, outcome: Outcome) -> HttpResponse:
    if outcome.already is not None:
        who = outcome.already.by.called if outcome.already.by else _("Somebody")
        words = {"who": who, "when": when(outcome.already.at, hull.now)}
        messages.info(request, _("%(who)s had recorded this already: %(when)s.") % words)
    return _back(request, hull)


@require_POST
@never_cache
@crew
def hand_over_photo(request: FloorRequest, tag: str) -> HttpResponse:
    """Keep the photo of one side."""
    hull = hull_at_hand(request, tag)
    form = FinalShotForm(request.POST, request.FILES, at_hand=hull)
    if not form.is_valid():
        return _shown(request, hull, shot=form, status=REFUSED)
    try:
        sent = add_photos(hull_id=hull.row.pk, hand=form.hand(me(request), hull.now), **form.told())
    except EngineError as error:
        form.blame(error)
        return _shown(request, hull, shot=form, status=REFUSED)
    if sent.refused:
        form.not_kept(sent.refused)
        return _shown(request, hull, shot=form, status=REFUSED)
    return _renewed(request, hull)


@require_POST
@never_cache
@shop_owner
def hand_over_payment(request: FloorRequest, tag: str) -> HttpResponse:
    """Record a payment; one that looks like another is asked about first."""
    hull = hull_at_hand(request, tag)
    account = account_of(hull.hull, request.shop)
    form, receipt = paid_by(request, hull, account)
    if receipt is None or receipt.alike is not None:
        return _shown(
            request, hull, pay=form, alike=receipt.alike if receipt else None, status=ASKED if receipt else REFUSED
        )
    say_paid(request, receipt, account)
    return _renewed(request, hull)


def _renewed(request: FloorRequest, hull: AtHand) -> HttpResponse:
    """The page as it stands now; htmx takes the part of it that it asked about."""
    if not request.htmx:
        return _back(request, hull)
    return _shown(request, hull_at_hand(request, hull.hull.tag, pulse=Pulse.now()))


def _back(request: FloorRequest, hull: AtHand) -> HttpResponse:
    address = reverse("hand_over", kwargs={"tag": hull.hull.tag})
    return HttpResponseClientRedirect(address) if request.htmx else SeeOther(address)


def _shot_of(side: Side, hull: AtHand, sent: FinalShotForm | None) -> FinalShotForm:
    """The form for a side: the one that was sent and refused, if it was for that one."""
    if sent is not None and sent.data.get("view") == side.view.value:
        return sent.called(side.view)
    return FinalShotForm.of(side.view, hull)


def _shown(
    request: FloorRequest,
    hull: AtHand,
    *,
    form: HandOverForm | None = None,
    shot: FinalShotForm | None = None,
    pay: PaymentForm | None = None,
    alike: Payment | None = None,
    status: int = 200,
) -> HttpResponse:
    boat = leaving(hull, for_the_crew)
    form = form or HandOverForm(at_hand=hull)
    page: dict[str, Any] = {
        "hull": hull.hull,
        "boat": boat,
        "owes": hull.work.owes,
        "form": form,
        "shots": [(side, _shot_of(side, hull, shot)) for side in boat.sides],
        "alike": alike,
        "paper": paper_for_the_crew(boat.record),
        "currency": request.shop.currency,
    }
    if me(request).is_shop_owner:
        page["pay"] = pay or PaymentForm(currency=currency_of(request.shop), balance=boat.balance)
    return render(request, PAGE, page, status=status)

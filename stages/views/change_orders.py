"""Raise a change order at the bench: from a find, filled in already, with one tap."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from hulls.charging import currency_of
from hulls.models import ProgressLink
from shop.access import crew, me
from stages.engine.errors import EngineError
from stages.forms.change_order import ChangeOrderForm
from stages.queries.finds import proposal
from stages.services.change_orders import raise_change_order
from stages.services.orders import Hand
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED = 422
PAGE = "stages/change_order.html"


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def change_order(request: FloorRequest, tag: str) -> HttpResponse:
    """The form, with ``?find=`` filled in from a line of the log; sent twice, it is one change order."""
    hull = hull_at_hand(request, tag)
    line = request.GET.get("find", "")
    begins = proposal(hull.work, hull.row.pk, int(line) if line.isdecimal() and len(line) < 9 else None)
    currency = currency_of(request.shop)
    bound = request.POST if request.method == "POST" else None
    form = ChangeOrderForm(bound, work=hull.work, proposal=begins, currency=currency)
    if bound is not None and form.is_valid():
        hand = Hand(by=me(request), at=hull.now, client_id=form.cleaned_data["client_id"])
        try:
            outcome = raise_change_order(hull_id=hull.row.pk, change=form.told(), hand=hand)
        except EngineError as error:
            form.blame(error)
        else:
            assert outcome.entry is not None
            asked = _("Change order %(label)s is with the boat's owner.") % outcome.entry.details
            messages.success(request, asked)
            return redirect("sheet", tag=tag)
    has_link = ProgressLink.objects.filter(hull_id=hull.row.pk, withdrawn_at__isnull=True).exists()
    page = {"hull": hull.hull, "form": form, "shop": request.shop, "has_link": has_link}
    return render(request, PAGE, page, status=REFUSED if bound is not None else 200)

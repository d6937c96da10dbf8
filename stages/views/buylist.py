"""The buy list, and what of it was ordered."""

from datetime import date

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from shop.access import crew, me
from shop.services.stores import place_order
from stages.forms.stores import OrderForm, UntilForm
from stages.queries.buylist import BuyLine, buy_list
from stages.queries.world import around
from stages.views.floor import FloorRequest

REFUSED = 422


@require_safe
@never_cache
@crew
def buylist(request: FloorRequest) -> HttpResponse:
    """What must be bought; with ``?until=`` up to a day."""
    return _page(request)


@require_POST
@never_cache
@crew
def buylist_order(request: FloorRequest) -> HttpResponse:
    """Write down that a line was ordered."""
    form = OrderForm(request.POST, auto_id="ordered-%s")
    if form.is_valid():
        try:
            place_order(by=me(request), ordered_on=timezone.localdate(), **form.told())
        except ValidationError as error:
            form.blame(error)
        else:
            messages.success(request, _("The order is written down."))
            return redirect("buylist")
    return _page(request, bound=form, status=REFUSED)


def _page(request: FloorRequest, *, bound: OrderForm | None = None, status: int = 200) -> HttpResponse:
    until = UntilForm(request.GET if "until" in request.GET else None, auto_id="until-%s")
    last: date | None = until.cleaned_data["until"] if until.is_bound and until.is_valid() else None
    shop = around(pulse=request.pulse, taken={})
    found = buy_list(shop, timezone.now(), last)
    asked = bound.data.get("pack", "") if bound else ""
    suppliers = [
        (
            supplier,
            [(line, bound if str(line.pack.pk) == asked else _order_form(line)) for line in supplier.lines],
        )
        for supplier in found.suppliers
    ]
    listed = any(form is bound for _supplier, lines in suppliers for _line, form in lines)
    shown = {
        "found": found,
        "suppliers": suppliers,
        "until": until,
        "currency": request.shop.currency,
        "unlisted": None if listed else bound,
    }
    return render(request, "stages/buylist.html", shown, status=status)


def _order_form(line: BuyLine) -> OrderForm:
    given = {"pack": line.pack.pk, "packs": line.packs, "expected_on": line.here_on}
    return OrderForm(initial=given, auto_id=f"order-{line.pack.pk}-%s")

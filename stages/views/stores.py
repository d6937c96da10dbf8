"""The stores: what stands on the shelves, what came, one can with its history, and what is done to it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from shop.access import crew, lookers, me
from shop.models import Lot, OrderLine
from shop.services import stores as services
from shop.units import UnitSystem
from stages.forms.stores import AmountForm, ArrivalForm, ReasonForm, SentOnce, TakeInForm
from stages.queries.stores import lot_page, the_shelves
from stages.views.floor import FloorRequest

REFUSED = 422
DEEDS: dict[str, Callable[..., Lot]] = {
    "count": services.count,
    "use": services.use,
    "throw": services.throw_away,
    "open": services.open_can,
    "shake": services.shake,
}
FOUND_IN_IT, TAKEN_OUT = gettext_lazy("Found in it"), gettext_lazy("Taken out")


@require_safe
@never_cache
@lookers
def stores(request: FloorRequest) -> HttpResponse:
    """Everything on the shelves."""
    return _shelves(request)


@require_POST
@never_cache
@crew
def stores_take_in(request: FloorRequest) -> HttpResponse:
    """Take packs in that came without an order."""
    form = TakeInForm(request.POST, auto_id="in-%s")
    if _done(request, form, lambda told: services.take_in(**told)):
        messages.success(request, _("It is in the stores."))
        return redirect("stores")
    return _shelves(request, take_in=form, status=REFUSED)


@require_POST
@never_cache
@crew
def stores_order(request: FloorRequest, pk: int, action: str) -> HttpResponse:
    """Take in what came of an order, or give up what will not come."""
    order = get_object_or_404(OrderLine.objects.select_related("pack__product"), pk=pk)
    if action == "receive":
        form: SentOnce = ArrivalForm(request.POST, auto_id=f"order-{pk}-%s")
        done = _done(request, form, lambda told: services.take_in(pack=order.pack, order=order, **told))
    elif action == "close":
        form = ReasonForm(request.POST, auto_id=f"close-{pk}-%s")
        done = _done(request, form, lambda told: _close(order, told))
    else:
        raise Http404(_("Nothing is done that way."))
    if done:
        messages.success(request, _("It is written down."))
        return redirect("stores")
    return _shelves(request, order=order, bound=form, status=REFUSED)


@require_safe
@never_cache
@lookers
def lot(request: FloorRequest, pk: int) -> HttpResponse:
    """One can with its history."""
    return _lot(request, _the_lot(pk))


@require_POST
@never_cache
@crew
def lot_do(request: FloorRequest, pk: int, action: str) -> HttpResponse:
    """Count, use, throw away, open or stir what is in a can."""
    row = _the_lot(pk)
    if action not in DEEDS:
        raise Http404(_("Nothing is done that way."))
    form = _lot_forms(row, action, request.POST)[action]
    if _done(request, form, lambda told: DEEDS[action](lot=row, **told)):
        messages.success(request, _("It is written down."))
        return redirect("lot", pk)
    return _lot(request, row, bound={action: form}, status=REFUSED)


def _the_lot(pk: int) -> Lot:
    return get_object_or_404(Lot.objects.select_related("product", "pack"), pk=pk)


def _done(request: FloorRequest, form: SentOnce, do: Callable[[dict[str, Any]], object]) -> bool:
    """Whether a form was right and its service did it; what was wrong stands in the form."""
    if not form.is_valid():
        return False
    try:
        do({**form.told(), "by": me(request), "now": timezone.now()})
    except ValidationError as error:
        form.blame(error)
        return False
    return True


def _close(order: OrderLine, told: dict[str, Any]) -> None:
    services.close_order(order=order, reason=told["reason"], now=told["now"])


def _lot_forms(row: Lot, action: str = "", data: Any = None) -> dict[str, SentOnce]:
    def of(name: str) -> Any:
        return data if name == action else None

    return {
        "count": AmountForm(of("count"), lot=row, label=FOUND_IN_IT, auto_id="count-%s"),
        "use": AmountForm(of("use"), lot=row, label=TAKEN_OUT, auto_id="use-%s"),
        "throw": ReasonForm(of("throw"), auto_id="throw-%s"),
        "open": SentOnce(of("open"), auto_id="open-%s"),
        "shake": SentOnce(of("shake"), auto_id="shake-%s"),
    }


def _shelves(
    request: FloorRequest,
    *,
    take_in: TakeInForm | None = None,
    order: OrderLine | None = None,
    bound: SentOnce | None = None,
    status: int = 200,
) -> HttpResponse:
    page = the_shelves(units=UnitSystem(request.shop.units), today=timezone.localdate())
    may_work = me(request).may_work
    orders = [(row, *_order_forms(row.line, order, bound)) for row in page.orders]
    shown = {
        "page": page,
        "orders": orders,
        "take_in": (take_in or TakeInForm(auto_id="in-%s")) if may_work else None,
        "may_work": may_work,
    }
    return render(request, "stages/stores.html", shown, status=status)


def _order_forms(line: OrderLine, about: OrderLine | None, bound: SentOnce | None) -> tuple[SentOnce, SentOnce]:
    mine = bound if about is not None and about.pk == line.pk else None
    receive = mine if isinstance(mine, ArrivalForm) else None
    close = mine if isinstance(mine, ReasonForm) else None
    return (
        receive or ArrivalForm(auto_id=f"order-{line.pk}-%s", initial={"packs": line.to_come}),
        close or ReasonForm(auto_id=f"close-{line.pk}-%s"),
    )


def _lot(
    request: FloorRequest, row: Lot, *, bound: dict[str, SentOnce] | None = None, status: int = 200
) -> HttpResponse:
    page = lot_page(lot=row, units=UnitSystem(request.shop.units), today=timezone.localdate())
    shown = {"page": page, "forms": {**_lot_forms(row), **(bound or {})}, "may_work": me(request).may_work}
    return render(request, "stages/lot.html", shown, status=status)

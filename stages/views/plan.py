"""The plan of the coming weeks, when one boat more could be done, and what would help most."""

from datetime import date
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import crew
from shop.units import UnitSystem
from stages.forms.plan import WishForm, seen_of
from stages.forms.supplies import SuppliesForm
from stages.models import HullWork
from stages.queries.helps import helps
from stages.queries.plan_page import plan_page
from stages.queries.plans import held_plan
from stages.queries.when import When, a_new_boat, when_for, when_for_new
from stages.queries.world import around, setup_at
from stages.views.floor import FloorRequest

REFUSED = 422


@require_safe
@never_cache
@crew
def plan(request: FloorRequest) -> HttpResponse:
    """Show the plan that holds."""
    now = timezone.localtime()
    made = held_plan()
    if made is None:
        return render(request, "stages/plan.html")
    stations = list(setup_at(request.pulse).stations.values())
    page = plan_page(made, seen_of(request.GET, now.date()), stations, now)
    template = "stages/plan.html#drawn" if request.htmx else "stages/plan.html"
    return render(request, template, {"page": page})


@require_safe
@never_cache
@crew
def plan_helps(request: FloorRequest) -> HttpResponse:
    """Show what one thing more would bring, planned anew for each."""
    page = {"helps": helps(around(pulse=request.pulse), timezone.now())}
    return render(request, "stages/plan_helps.html", page)


@require_safe
@never_cache
@crew
def plan_when(request: FloorRequest) -> HttpResponse:
    """Show when a boat could be done: one that is asked about by the same address as the supplies page, or a hull."""
    form, wish = SuppliesForm(request.GET, units=UnitSystem(request.shop.units)), WishForm(request.GET)
    page: dict[str, Any] = {"form": form, "wish": wish, "tag": _tag(request)}
    if page["tag"]:
        get_object_or_404(HullWork, hull__tag=page["tag"], handed_over_at=None)
    elif not form.is_bound:
        return render(request, "stages/plan_when.html", page)
    if not wish.is_valid() or not (page["tag"] or form.is_valid()):
        return render(request, "stages/plan_when.html", page, status=REFUSED)
    page["when"] = _when(request, form, wish.cleaned_data["by"])
    return render(request, "stages/plan_when.html", page)


def _tag(request: FloorRequest) -> str:
    return request.GET.get("hull", "").replace("\x00", "")


def _when(request: FloorRequest, form: SuppliesForm, wish: date | None) -> When:
    shop, now = around(pulse=request.pulse), timezone.now()
    if tag := _tag(request):
        return when_for(shop, tag, wish, now)
    boat = a_new_boat(form.principal, form.hull_type, form.answers, shop, timezone.localdate())
    return when_for_new(shop, boat, wish, now)

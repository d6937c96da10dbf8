"""Enquiries from the supplies page: the crew reads them, the shop's owner makes a hull of one or closes it."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from hulls.models import Enquiry
from shop.access import crew, me, shop_owner
from shop.middleware import ShopRequest
from shop.units import UnitSystem
from stages.engine.errors import EngineError
from stages.forms.enquiry import CloseForm
from stages.forms.hull import HullForm
from stages.forms.supplies import SuppliesForm
from stages.queries.enquiries import enquiry_list
from stages.queries.hulls import next_tag
from stages.services.enquiries import close_enquiry, enquiry_into_hull
from stages.views.hulls import arrival_hand, old_finish_of

PAGE = "stages/enquiries.html"
REFUSED = 422
NOTES_LENGTH = 4000  # as long as the notes of a hull may be


@require_safe
@never_cache
@crew
def enquiries(request: ShopRequest) -> HttpResponse:
    """The enquiries that wait for the shop's owner, or with ``?done=1`` those that were decided."""
    return _page(request)


@require_POST
@never_cache
@shop_owner
def close(request: ShopRequest, pk: int) -> HttpResponse:
    """Close one with a reason."""
    enquiry = get_object_or_404(Enquiry, pk=pk)
    form = CloseForm(request.POST, auto_id=f"close{pk}_%s")
    if form.is_valid():
        try:
            closed = close_enquiry(enquiry=pk, reason=form.cleaned_data["reason"], by=me(request))
        except EngineError as error:
            form.add_error("reason", _(error.message))
        else:
            messages.success(request, _("The enquiry of %(name)s is closed.") % {"name": closed.name})
            return redirect("enquiries")
    return _page(request, status=REFUSED, refused={enquiry.pk: form})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def into_hull(request: ShopRequest, pk: int) -> HttpResponse:
    """The form for a hull that comes in, with what the enquiry says; sent twice, it takes in one."""
    enquiry, units = get_object_or_404(Enquiry.objects.select_related("hull"), pk=pk), UnitSystem(request.shop.units)
    if enquiry.hull is not None:
        return redirect("sheet", tag=enquiry.hull.tag)
    if not enquiry.is_open:
        messages.error(request, _("The enquiry of %(name)s was closed.") % {"name": enquiry.name})
        return redirect("enquiries")
    if request.method != "POST":
        return _hull_form(request, HullForm(initial=_first_of(enquiry, units), units=units), enquiry)
    form = HullForm(request.POST, units=units)
    if form.is_valid():
        try:
            hull = enquiry_into_hull(
                enquiry=pk, hull=form.filled(), hand=arrival_hand(request, form), old_finish=old_finish_of(form)
            )
        except EngineError as error:
            form.blame(error)
        else:
            messages.success(request, _("%(tag)s is taken in.") % {"tag": hull.tag})
            return redirect("sheet", tag=hull.tag)
    return _hull_form(request, form, enquiry, status=REFUSED)


def _first_of(enquiry: Enquiry, units: UnitSystem) -> dict[str, Any]:
    """What the form of the hull begins with: as much as the enquiry says."""
    boat = SuppliesForm(QueryDict(enquiry.query), units=units)
    said = "\n".join(f"{label}: {answer}" for label, answer in enquiry.listed.get("said", ()))
    return {
        "tag": next_tag(),
        "arrived_on": timezone.localdate(),
        "owner_name": enquiry.name,
        "owner_email": enquiry.email,
        "notes": "\n\n".join(filter(None, (enquiry.words, said)))[:NOTES_LENGTH],
    } | (boat.first_of_hull(units) if boat.is_valid() else {})


def _hull_form(request: ShopRequest, form: HullForm, enquiry: Enquiry, status: int = 200) -> HttpResponse:
    return render(request, "stages/hull_form.html", {"form": form, "enquiry": enquiry}, status=status)


def _page(request: ShopRequest, *, status: int = 200, refused: dict[int, CloseForm] | None = None) -> HttpResponse:
    done = request.GET.get("done") == "1"
    found = enquiry_list(done=done, page=request.GET.get("page", ""))
    decides = me(request).is_shop_owner
    rows: list[dict[str, Any]] = [
        {"enquiry": row, "close": (refused or {}).get(row.pk) or CloseForm(auto_id=f"close{row.pk}_%s")}
        for row in found.page
    ]
    shown = {"found": found, "rows": rows, "done": done, "decides": decides, "query": "done=1&" if done else ""}
    return render(request, PAGE, shown, status=status)

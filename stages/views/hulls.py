"""All hulls, taking one in, and changing its particulars."""

from datetime import datetime, time
from functools import partial
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from hulls.models import Hull
from shop.access import crew, lookers, me
from shop.units import UnitSystem
from stages.engine.errors import EngineError
from stages.engine.vocab import FILLERS, Surface
from stages.forms.hull import HullForm, as_it_left
from stages.queries.hulls import hull_list, next_tag, taken_in_by
from stages.queries.sheet import AtHand
from stages.services.arrival import change_hull, take_in, take_in_again
from stages.services.orders import Hand
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED = 422
LONGEST_SEARCH = 60
FORM = "stages/hull_form.html"


@require_safe
@never_cache
@lookers
def hulls(request: FloorRequest) -> HttpResponse:
    """The hulls in the shop, or those handed over, by pages; with ``?q=`` those that match."""
    search = request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST_SEARCH]
    apart = request.GET.get("apart") == "handed-over"
    found = hull_list(
        pulse=request.pulse,
        now=timezone.now(),
        search=search,
        apart=apart,
        page=request.GET.get("page", ""),
        owners=me(request).may_work,
    )
    rest = {name: value for name, value in {"q": search, "apart": "handed-over" if apart else ""}.items() if value}
    query = f"{urlencode(rest)}&" if rest else ""
    shown = {"found": found, "search": search, "apart": apart, "query": query, "may_work": me(request).may_work}
    part = request.htmx and not request.htmx.history_restore_request
    return render(request, "stages/hulls.html#list" if part else "stages/hulls.html", shown)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def take_in_page(request: FloorRequest) -> HttpResponse:
    """The form for a hull that comes in; sent twice, it takes in one. With ``?again=`` it was here under that tag."""
    units, before = UnitSystem(request.shop.units), _before(request)
    if request.method != "POST":
        first = {"tag": next_tag(), "arrived_on": timezone.localdate()}
        known = as_it_left(before, units) if before else {}
        return render(request, FORM, {"form": HullForm(initial={**first, **known}, units=units), "before": before})
    if sent := _sent_before(request.POST.get("client_id", "")):
        return redirect("sheet", tag=sent)
    form = HullForm(request.POST, units=units)
    if form.is_valid():
        try:
            come_in = partial(take_in_again, before=before) if before else take_in
            come_in(hull=form.filled(), hand=arrival_hand(request, form), old_finish=old_finish_of(form))
        except EngineError as error:
            form.blame(error)
        else:
            messages.success(request, _("%(tag)s is taken in.") % {"tag": form.instance.tag})
            return redirect("sheet", tag=form.instance.tag)
    return render(request, FORM, {"form": form, "before": before}, status=REFUSED)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def change(request: FloorRequest, tag: str) -> HttpResponse:
    """The same form for a hull that is here already."""
    hull = hull_at_hand(request, tag)
    units, fixed = UnitSystem(request.shop.units), _overtaken(hull)
    if request.method != "POST":
        return render(request, FORM, {"form": HullForm(instance=hull.hull, units=units, fixed=fixed), "tag": tag})
    form = HullForm(request.POST, instance=hull.hull, units=units, fixed=fixed)
    if not form.is_valid() or not _changed(form):
        return render(request, FORM, {"form": form, "tag": tag}, status=REFUSED)
    messages.success(request, _("The changes are kept."))
    return redirect("sheet", tag=form.instance.tag)


def _before(request: FloorRequest) -> Hull | None:
    """The boat that an address says is here again; one that is in the shop, or unknown, is none.

    Raises
    ------
    Http404
        When the shop has handed over no such boat.
    """
    tag = request.GET.get("again")
    if tag is None:
        return None
    hull = Hull.objects.filter(tag=tag.replace("\x00", ""), work__handed_over_at__isnull=False).first()
    if hull is None:
        raise Http404(_("The shop has handed over no hull with the tag %(tag)s.") % {"tag": tag})
    return hull


def _changed(form: HullForm) -> bool:
    try:
        change_hull(hull=form.filled())
    except EngineError as error:
        form.blame(error)
        return False
    return True


def arrival_hand(request: HttpRequest, form: HullForm) -> Hand:
    """Now for a hull that came today; else the first minute of its day, so that all that was done comes after it."""
    day = form.cleaned_data["arrived_on"]
    now = timezone.localtime()
    at = now if day == now.date() else datetime.combine(day, time.min, tzinfo=now.tzinfo)
    return Hand(by=me(request), at=at, client_id=form.cleaned_data["client_id"])


def old_finish_of(form: HullForm) -> list[Surface]:
    """The surfaces on which a hull that comes in has an old finish."""
    return [Surface(name) for name in form.cleaned_data["old_finish"]]


def _overtaken(hull: AtHand) -> frozenset[str]:
    """Choices that the coats on the hull have overtaken."""
    state, work = hull.work.state, hull.work
    filled = any(work.product(coat).kind in FILLERS for coat in state.stack(Surface.SKIN))
    coated = bool(state.stack(Surface.INSIDE))
    names = (("filler", filled), ("inside_varnish", coated))
    return frozenset(name for name, gone_by in names if gone_by)


def _sent_before(client_id: str) -> str | None:
    try:
        return taken_in_by(str(UUID(client_id)))
    except ValueError:
        return None

"""The floor: the shop drawn as it stands, and the part of it that screens ask for every few seconds."""

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe
from django_htmx.http import HttpResponseClientRedirect
from django_htmx.middleware import HtmxDetails

from shop.access import lookers
from shop.middleware import ShopRequest
from stages.queries.floor import Floor, NoSuchStation, the_floor
from stages.queries.foreseen import still_shows


class FloorRequest(ShopRequest):
    """A request behind the shop's and django-htmx's middleware."""

    htmx: HtmxDetails


@require_safe
@never_cache
@lookers
def floor(request: FloorRequest) -> HttpResponse:
    """The floor, or with ``?station=`` one station of it by pages."""
    return render(request, "stages/floor.html", {"floor": _asked(request)})


@require_safe
@never_cache
def floor_part(request: FloorRequest) -> HttpResponse:
    """The floor without its page; 204 while the version that the screen shows still holds.

    Nothing asks who is logged in before something changed: an unchanged poll reads the session and the stamps alone.
    """
    version = request.GET.get("v", "")
    if SESSION_KEY in request.session and still_shows(version, request.pulse, timezone.now()):
        return HttpResponse(status=204)
    if not request.htmx:
        return redirect("floor")
    if not request.user.is_authenticated:
        return HttpResponseClientRedirect(f"{resolve_url(settings.LOGIN_URL)}?next={reverse('floor')}")
    return render(request, "stages/floor.html#part", {"floor": _asked(request)})


def _asked(request: FloorRequest) -> Floor:
    station = request.GET.get("station", "")
    if station and not (station.isdecimal() and len(station) < 10):
        raise Http404(_("The shop has no such station."))
    try:
        return the_floor(
            pulse=request.pulse,
            now=timezone.now(),
            station=int(station) if station else None,
            page=request.GET.get("page", "1"),
        )
    except NoSuchStation as error:
        raise Http404(_("The shop has no such station.")) from error

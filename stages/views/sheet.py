"""One hull's sheet, and the part of it that open screens ask for again."""

from typing import Any

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

from shop.access import lookers, me
from shop.models import Pulse
from stages.forms.act import ActForm
from stages.forms.acts import ACTS, offered
from stages.queries.balances import balance_of
from stages.queries.foreseen import still_shows
from stages.queries.sheet import AtHand, at_hand, sheet_of
from stages.views.floor import FloorRequest

TEMPLATE = "stages/sheet.html"
GIVEN = ("stage", "number")  # what an address may fill into the form that it opens


@require_safe
@never_cache
@lookers
def sheet(request: FloorRequest, tag: str) -> HttpResponse:
    """The sheet; with ``?do=`` one of its forms stands open."""
    hull = hull_at_hand(request, tag)
    return shown(request, hull, asked=_asked(request, hull))


@require_safe
@never_cache
def sheet_part(request: FloorRequest, tag: str) -> HttpResponse:
    """The sheet without its page; 204 while the version that the screen shows still holds.

    Nothing asks who is logged in before something changed: an unchanged poll reads the session and the stamps alone.
    """
    version = request.GET.get("v", "")
    if SESSION_KEY in request.session and still_shows(version, request.pulse, timezone.now()):
        return HttpResponse(status=204)
    if not request.htmx:
        return redirect("sheet", tag=tag)
    if not request.user.is_authenticated:
        address = reverse("sheet", kwargs={"tag": tag})
        return HttpResponseClientRedirect(f"{resolve_url(settings.LOGIN_URL)}?next={address}")
    return shown(request, hull_at_hand(request, tag), part=True)


def is_kept(request: FloorRequest, what: str) -> bool:
    """Whether a phone asks for a ``page`` to keep it, or sends an ``act`` that it kept."""
    return request.headers.get("X-Kept") == what


def hull_at_hand(request: FloorRequest, tag: str, *, pulse: Pulse | None = None) -> AtHand:
    """The hull of a tag, under the stamps of the request or later ones.

    Raises
    ------
    Http404
        When the shop has no such hull.
    """
    found = at_hand(tag=tag, pulse=pulse or request.pulse, now=timezone.now())
    if found is None:
        raise Http404(_("The shop has no hull with the tag %(tag)s.") % {"tag": tag})
    return found


def shown(
    request: FloorRequest,
    hull: AtHand,
    *,
    part: bool = False,
    bound: ActForm | None = None,
    asked: ActForm | None = None,
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    """The sheet of a hull as whoever asks may see it, whole or as the part that htmx swaps."""
    whole_log = request.GET.get("log") == "all"
    sheet = sheet_of(hull, whole_log=whole_log)
    context: dict[str, Any] = {
        "sheet": sheet,
        "whole_log": whole_log,
        "may_work": me(request).may_work,
        "bound": bound,
        **more,
    }
    if me(request).may_work:
        context["account"] = hull.work.owes
        if me(request).is_shop_owner:
            context["balance"] = balance_of(hull.row.pk)
        link_open, ahead = sheet.link_since is not None, is_kept(request, "page")
        context["offered"] = offered(hull, link_open=link_open, bound=bound, asked=asked, ahead=ahead)
    return render(request, f"{TEMPLATE}#part" if part else TEMPLATE, {**context, "part": part}, status=status)


def _asked(request: FloorRequest, hull: AtHand) -> ActForm | None:
    form = ACTS.get(request.GET.get("do", ""))
    if form is None:
        return None
    given = {name: request.GET[name] for name in GIVEN if name in request.GET}
    made = form(at_hand=hull, stage=request.GET.get("about", ""), given=given)
    made.opened = True
    return made

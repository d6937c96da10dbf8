"""Calendar feeds behind secret addresses, and the page where such addresses are made and withdrawn."""

from hashlib import sha256

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.access import crew, me
from shop.middleware import ShopRequest
from shop.models import CrewMember
from shop.working_hours import hands
from stages.forms.feeds import FeedForm
from stages.models import Feed, HullWork
from stages.queries.feeds import calendar_of, name_of, offered_to, open_feed, open_feeds
from stages.services.feeds import make_feed, withdraw_feed

REFUSED = 422
HEADERS = {
    "Cache-Control": "private, no-cache",  # asked anew each time; the same plan is answered with 304
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}


@csrf_exempt
@require_safe
def feed(request: ShopRequest, token: str) -> HttpResponse:
    """Send a calendar to whoever has its address."""
    row = open_feed(token)
    if row is None:
        return _with_headers(HttpResponse(_("There is no calendar here."), status=404, content_type="text/plain"))
    content = calendar_of(row, request.shop)
    etag = f'"{sha256(content).hexdigest()[:32]}"'
    response = HttpResponse(content, content_type="text/calendar; charset=utf-8")
    answer = get_conditional_response(request, etag, None, response) or response
    answer["ETag"] = etag
    return _with_headers(answer)


def _with_headers(response: HttpResponse) -> HttpResponse:
    for name, value in HEADERS.items():
        response[name] = value
    return response


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def feeds(request: ShopRequest) -> HttpResponse:
    """Show the addresses that are open; by POST, make one and show it this once."""
    form = _form(request)
    if request.method != "POST":
        return _page(request, form)
    if not form.is_valid():
        return _page(request, form, status=REFUSED)
    token = make_feed(by=me(request), hull_id=form.hull_id, person_id=form.person_id)
    address = settings.PUBLIC_URL + reverse("feed", kwargs={"token": token})
    return _page(request, _form(request, bound=False), address=address, of=form.name)


@require_POST
@crew
def withdraw(request: ShopRequest, pk: int) -> HttpResponse:
    """Withdraw an address: one's own, or any for the shop's owner."""
    row = get_object_or_404(Feed.objects.select_related("hull", "person"), pk=pk)
    if not _may(row, me(request)):
        raise PermissionDenied
    withdraw_feed(feed=row)
    messages.success(request, _("The address of “%(name)s” is withdrawn.") % {"name": name_of(row, request.shop)})
    return redirect("feeds")


def _may(row: Feed, person: CrewMember) -> bool:
    return person.is_shop_owner or person.pk in (row.person_id, row.made_by_id)


def _form(request: ShopRequest, *, bound: bool = True) -> FeedForm:
    rows = HullWork.objects.filter(handed_over_at=None).select_related("hull").order_by("hull__tag")
    offered = list(offered_to(me(request), hands(), [row.hull for row in rows]))
    return FeedForm(request.POST if bound and request.method == "POST" else None, offered=offered)


def _page(request: ShopRequest, form: FeedForm, *, address: str = "", of: str = "", status: int = 200) -> HttpResponse:
    shown = {
        "form": form,
        "address": address,
        "of": of,
        "rows": [(row, name_of(row, request.shop)) for row in open_feeds() if _may(row, me(request))],
    }
    return render(request, "stages/feeds.html", shown, status=status)

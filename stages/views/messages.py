"""The out-tray: the crew reads what goes out to boats' owners, takes a letter out, and sends one again."""

import base64
import hashlib

from csp.constants import NONE, SELF
from csp.decorators import csp_replace
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from hulls.models import Message
from shop.access import crew
from shop.middleware import ShopRequest
from stages.queries.out_tray import SHELVES, Whole, out_tray, whole
from stages.services.messages import send_again, take_out

_STYLE = hashlib.sha256(render_to_string("letters/letter.css").encode()).digest()
# A letter carries its own style, as letters do; shown here it may do nothing else.
AS_MAIL = {
    "default-src": [NONE],
    "style-src": [f"'sha256-{base64.b64encode(_STYLE).decode()}'"],
    "img-src": [SELF],
    "base-uri": [NONE],
    "form-action": [NONE],
    "frame-ancestors": [NONE],
    "sandbox": ["allow-same-origin"],
}


@require_safe
@never_cache
@crew
def letters(request: ShopRequest) -> HttpResponse:
    """What waits, or with ``?shelf=`` what was sent or was not; with ``?hull=`` of one boat."""
    shelf, hull = request.GET.get("shelf", "waiting"), request.GET.get("hull", "")
    if shelf not in SHELVES:
        raise Http404
    tray = out_tray(shelf=shelf, hull=hull, page=request.GET.get("page", ""), shop=request.shop)
    names = {"waiting": _("Waiting"), "sent": _("Sent"), "unsent": _("Not sent")}
    shelves = [(name, says, tray.counts[name]) for name, says in names.items()]
    return render(request, "stages/messages.html", {"tray": tray, "shelf": shelf, "shelves": shelves, "hull": hull})


@require_safe
@never_cache
@crew
def letter(request: ShopRequest, pk: int) -> HttpResponse:
    """One letter, as text, with what became of it."""
    return render(request, "stages/message.html", {"letter": _found(request, pk)})


@csp_replace(AS_MAIL)
@require_safe
@never_cache
@crew
def letter_as_mail(request: ShopRequest, pk: int) -> HttpResponse:
    """One letter as a mail program shows it, its links leading nowhere."""
    found = _found(request, pk)
    if not found.html:
        raise Http404
    return HttpResponse(found.html)


@require_POST
@never_cache
@crew
def letter_take_out(request: ShopRequest, pk: int) -> HttpResponse:
    """Take a letter that waits out of the tray."""
    get_object_or_404(Message, pk=pk)
    if take_out(message=pk):
        messages.success(request, _("The letter is taken out of the tray."))
    else:
        messages.error(request, _("The letter does not wait any more."))
    return redirect("letter", pk=pk)


@require_POST
@never_cache
@crew
def letter_again(request: ShopRequest, pk: int) -> HttpResponse:
    """Put a letter that did not reach its owner into the tray again."""
    get_object_or_404(Message, pk=pk)
    if send_again(message=pk):
        messages.success(request, _("The letter waits in the tray."))
    else:
        messages.error(request, _("The letter is not one to be sent again."))
    return redirect("letter", pk=pk)


def _found(request: ShopRequest, pk: int) -> Whole:
    found = whole(pk, shop=request.shop, now=timezone.now())
    if found is None:
        raise Http404
    return found

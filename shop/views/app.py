"""The pages as an app on a phone: manifest, worker, the page for when there is no network, and who is logged in."""

import hashlib
import json
from pathlib import Path

from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from shop.launch.environment import ROOT
from shop.middleware import ShopRequest

WORKER = Path("static/js/worker.js")
ICONS = {"192": "192x192", "512": "512x512"}


@require_safe
@never_cache
def manifest(request: ShopRequest) -> HttpResponse:
    """The web app manifest (W3C), in the colours of the house."""
    icons = [
        {"src": static(f"img/app-{name}.png"), "sizes": size, "type": "image/png", "purpose": purpose}
        for name, size in ICONS.items()
        for purpose in ("any", "maskable")
    ]
    app = {
        "id": "/",
        "name": request.shop.name or "Ribband",
        "short_name": "Ribband",
        "description": _("The shop's floor and every hull's sheet, also where the network does not reach."),
        "start_url": reverse("floor"),
        "scope": "/",
        "display": "standalone",
        "background_color": "#f6f1e4",
        "theme_color": "#1f4231",
        "icons": icons,
    }
    return JsonResponse(app, content_type="application/manifest+json")


@require_safe
def worker(request: ShopRequest) -> HttpResponse:
    """The service worker: one file at the root, so that its scope is the whole site, asked for anew each time.

    Its first line holds a version that changes with itself and with any static file: then browsers take the new one.
    """
    source = (ROOT / WORKER).read_text()
    files = getattr(staticfiles_storage, "manifest_hash", "")  # of all hashed names together
    version = hashlib.sha256(f"{files} {source}".encode()).hexdigest()[:12]
    shop = json.dumps({"version": version, "zone": str(request.shop.zone_info)})
    response = HttpResponse(f"const SHOP = {shop};\n{source}", content_type="text/javascript")
    response["Cache-Control"] = "no-cache"
    return response


@require_safe
@never_cache
def offline(request: HttpRequest) -> HttpResponse:
    """What a phone shows in the place of a page that it does not hold."""
    return render(request, "shop/offline.html")


@require_safe
@never_cache
@ensure_csrf_cookie
def waiting(request: HttpRequest) -> HttpResponse:
    """What waits on this phone: the page is empty, the phone itself fills it in."""
    return render(request, "shop/waiting.html")


@require_safe
@never_cache
def who(request: HttpRequest) -> HttpResponse:
    """Who is logged in, with a fresh token to send forms with; the answer's date puts the phone's clock right."""
    person = request.user
    may_send = person.is_authenticated and person.may_work
    return JsonResponse({"who": str(person.pk) if may_send else "", "token": get_token(request)})

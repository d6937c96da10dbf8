"""The body plan of a hull as a picture of its own, kept by the browser until one of the hull's numbers changes."""

from typing import cast

from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.utils.cache import get_conditional_response, patch_cache_control
from django.utils.http import quote_etag
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from hulls.models import Hull
from shop.access import lookers
from stages.queries.lines import body_plan_of, body_plan_version
from stages.views.floor import FloorRequest

KEPT_S = 365 * 24 * 3600


@require_safe
@lookers
def body_plan_svg(request: FloorRequest, tag: str) -> HttpResponse:
    """The picture; 304 where the browser has the one of these numbers."""
    hull = Hull.objects.filter(tag=tag).first()
    if hull is None:
        raise Http404(_("The shop has no hull with the tag %(tag)s.") % {"tag": tag})
    version = body_plan_version(hull)
    known: HttpResponseBase | None = get_conditional_response(request, etag=quote_etag(version))
    if known is not None:
        return cast(HttpResponse, known)
    picture = render(request, "stages/body_plan.svg", {"plan": body_plan_of(hull)}, content_type="image/svg+xml")
    picture["ETag"] = quote_etag(version)
    if request.GET.get("v") == version:
        patch_cache_control(picture, private=True, max_age=KEPT_S, immutable=True)
    else:
        patch_cache_control(picture, private=True, no_cache=True)
    return picture

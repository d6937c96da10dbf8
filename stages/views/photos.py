"""Photos of hulls, for those who work here; the boat's owner sees theirs by the progress link."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from hulls.models import Photo
from shop.access import lookers

SIZES = ("small", "full")
A_DAY_S = 86_400


@require_safe
@lookers
def photo(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """The file of a photo; its full size stands in while the small copy is not made yet."""
    if size not in SIZES:
        raise Http404(_("There is no such size."))
    found = get_object_or_404(Photo, pk=pk)
    small = size == "small" and bool(found.small)
    file = found.small if small else found.image
    try:
        with file.open("rb") as opened:
            response = HttpResponse(opened.read(), content_type="image/jpeg")
    except FileNotFoundError:
        raise Http404(_("The photo's file is gone.")) from None
    lasting = small or size == "full"
    response["Cache-Control"] = f"private, max-age={A_DAY_S}, immutable" if lasting else "private, no-cache"
    response["X-Content-Type-Options"] = "nosniff"
    return response

"""What a phone is to hold for where the network does not reach."""

from dataclasses import asdict

from django.http import HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import crew
from shop.middleware import ShopRequest
from stages.queries.held import pages_of_the_day


@require_safe
@never_cache
@crew
def pages(request: ShopRequest) -> HttpResponse:
    """The pages of the day, each with the stamp of what it shows."""
    found = pages_of_the_day(pulse=request.pulse, now=timezone.now())
    return JsonResponse({"pages": [asdict(page) for page in found]})

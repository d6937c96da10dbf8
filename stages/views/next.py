"""What's next: the steps that hands could start now."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import lookers
from shop.middleware import ShopRequest
from stages.queries.next import next_up


@require_safe
@never_cache
@lookers
def next_steps(request: ShopRequest) -> HttpResponse:
    """Every step that hands could start now, by station."""
    found = next_up(pulse=request.pulse, now=timezone.now(), page=request.GET.get("page", "1"))
    return render(request, "stages/next.html", {"next": found})

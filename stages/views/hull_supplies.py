"""What a hull in work still needs."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import crew, me
from stages.queries.take_off import hull_supplies
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand


@require_safe
@never_cache
@crew
def hull_supplies_page(request: FloorRequest, tag: str) -> HttpResponse:
    """The take-off of the steps to come, each amount with the sum behind it; prices for the shop's owner."""
    found = hull_supplies(hull_at_hand(request, tag), prices=me(request).is_shop_owner)
    return render(request, "stages/hull_supplies.html", {"found": found})

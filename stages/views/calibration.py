"""How good the shop's dates were, for its owner."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import shop_owner
from stages.queries.calibration import AHEAD_DAYS, calibration
from stages.views.floor import FloorRequest


@require_safe
@never_cache
@shop_owner
def dates_kept(request: FloorRequest) -> HttpResponse:
    """Show what was told of boats beside when they were handed over."""
    return render(request, "stages/dates_kept.html", {"found": calibration(), "ahead_days": AHEAD_DAYS})

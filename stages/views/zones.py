"""One zone of air: its last and its next days, and the solvents used in it today."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import lookers
from shop.models import Zone
from stages.queries.world import around
from stages.queries.zone import zone_page
from stages.views.floor import FloorRequest


@require_safe
@never_cache
@lookers
def zone_air(request: FloorRequest, pk: int) -> HttpResponse:
    """The air of a zone."""
    zone = get_object_or_404(Zone, pk=pk)
    shop = around(pulse=request.pulse, taken={})
    return render(request, "stages/zone.html", {"page": zone_page(zone=zone, shop=shop, now=timezone.now())})

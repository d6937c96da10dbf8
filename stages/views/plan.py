"""The plan of the coming weeks: which boat stands where, who sits at what, what is late, and where there is room."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import crew
from stages.forms.plan import seen_of
from stages.queries.plan_page import plan_page
from stages.queries.plan_timed import timed_plan
from stages.queries.world import setup_at
from stages.views.floor import FloorRequest


@require_safe
@never_cache
@crew
def plan(request: FloorRequest) -> HttpResponse:
    """Show the plan that holds."""
    now = timezone.localtime()
    made = timed_plan()
    if made is None:
        return render(request, "stages/plan.html")
    stations = list(setup_at(request.pulse).stations.values())
    page = plan_page(made, seen_of(request.GET, now.date()), stations, now)
    template = "stages/plan.html#drawn" if request.htmx else "stages/plan.html"
    return render(request, template, {"page": page})

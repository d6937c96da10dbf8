"""The air and the weather: what was read last, and forms to record more."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from shop.access import crew, lookers, me
from stages.engine.errors import EngineError
from stages.forms.air import ReadingForm, WeatherForm, refuse
from stages.queries.air import zone_airs, zone_weathers
from stages.queries.world import around
from stages.services.air import record_reading, record_weather
from stages.views.floor import FloorRequest

REFUSED = 422


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@lookers
def air(request: FloorRequest) -> HttpResponse:
    """The last readings of every zone; by POST, a new one."""
    return _record(request) if request.method == "POST" else _page(request, ReadingForm(shop=request.shop))


@crew
def _record(request: FloorRequest) -> HttpResponse:
    form = ReadingForm(request.POST, shop=request.shop)
    if form.is_valid():
        try:
            reading = record_reading(**form.cleaned_data, by=me(request))
        except EngineError as error:
            refuse(form, error)
        else:
            messages.success(request, _("The air of %(zone)s is recorded.") % {"zone": reading.zone})
            return redirect("air")
    return _page(request, form, status=REFUSED)


@require_POST
@crew
def air_weather(request: FloorRequest) -> HttpResponse:
    """Record whether a day was free of rain."""
    form = WeatherForm(request.POST)
    if form.is_valid():
        try:
            record_weather(**form.cleaned_data)
        except EngineError as error:
            refuse(form, error)
    status = 200 if form.is_valid() else REFUSED
    if request.htmx:
        return render(request, "stages/air.html#weather", _weather(request, form), status=status)
    return redirect("air") if form.is_valid() else _page(request, ReadingForm(shop=request.shop), form, status=status)


def _page(
    request: FloorRequest, form: ReadingForm, weather_form: forms.Form | None = None, *, status: int = 200
) -> HttpResponse:
    airs = zone_airs(shop=around(pulse=request.pulse, taken={}), now=timezone.now())
    shown = {"airs": airs, "form": form, **_weather(request, weather_form)}
    return render(request, "stages/air.html", shown, status=status)


def _weather(request: FloorRequest, form: forms.Form | None) -> dict[str, object]:
    return {
        "weathers": zone_weathers(today=timezone.localdate()),
        "weather_form": form,
        "may_work": me(request).may_work,
    }

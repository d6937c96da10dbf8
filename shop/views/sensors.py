"""The shop owner's pages of sensors: add one, change it, give it a token, withdraw it, decide on flagged readings."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from shop.access import me, shop_owner
from shop.forms.sensors import DecisionForm, SensorChangeForm, SensorForm
from shop.middleware import ShopRequest
from shop.models import Sensor
from shop.readings.standing import decisions, flagged_runs, moves_of, sensor_rows
from shop.services.sensors import add_sensor, change_sensor, decide, move_sensor, renew_token, withdraw

REFUSED = 422


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def sensors(request: ShopRequest) -> HttpResponse:
    """Show the sensors; by POST, add one and show its token this once."""
    form = SensorForm(request.POST or None)
    if request.method != "POST":
        return _page(request, form)
    if not form.is_valid():
        return _page(request, form, status=REFUSED)
    added = form.cleaned_data
    sensor, token = add_sensor(
        name=added["name"], zone=added["zone"], every_min=added["every_min"], sends=added["sends"], by=me(request)
    )
    if token is None:
        messages.success(request, _("%(sensor)s is added.") % {"sensor": sensor})
        return redirect("sensors")
    return _page(request, SensorForm(), sensor=sensor, token=token)


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def sensor_change(request: ShopRequest, pk: int) -> HttpResponse:
    """Change a sensor: its name, the zone in which it hangs, how often it reads, its unit."""
    sensor = get_object_or_404(Sensor.objects.select_related("zone"), pk=pk)
    form = SensorChangeForm(request.POST or None, instance=sensor, now=timezone.now())
    shown = {"form": form, "name": sensor.name, "moves": moves_of(sensor)}
    if request.method != "POST":
        return render(request, "shop/sensor.html", shown)
    if not form.is_valid():
        return render(request, "shop/sensor.html", shown, status=REFUSED)
    said = form.cleaned_data
    change_sensor(sensor=sensor, name=said["name"], every_min=said["every_min"], unit=said["unit"])
    move_sensor(sensor=sensor, zone=said["zone"], at=said["at"], by=me(request))
    messages.success(request, _("%(sensor)s is changed.") % {"sensor": said["name"]})
    return redirect("sensors")


@require_POST
@never_cache
@shop_owner
def sensor_token(request: ShopRequest, pk: int) -> HttpResponse:
    """Give a sensor another token, and show it this once."""
    sensor = get_object_or_404(Sensor, pk=pk)
    return _page(request, SensorForm(), sensor=sensor, token=renew_token(sensor=sensor))


@require_POST
@shop_owner
def sensor_withdraw(request: ShopRequest, pk: int) -> HttpResponse:
    """Take a sensor's token away."""
    sensor = get_object_or_404(Sensor, pk=pk)
    withdraw(sensor=sensor, now=timezone.now())
    messages.success(request, _("%(sensor)s is withdrawn. Its readings stay.") % {"sensor": sensor})
    return redirect("sensors")


@require_POST
@shop_owner
def sensor_decide(request: ShopRequest) -> HttpResponse:
    """Take flagged readings into the drying times, or keep them out."""
    form = DecisionForm(request.POST)
    if not form.is_valid():
        return _page(request, SensorForm(), refused=_("That cannot be decided: load the page anew."), status=REFUSED)
    said = form.cleaned_data
    count = decide(
        sensor=said["sensor"],
        flag=said["flag"],
        first=said["first"],
        last=said["last"],
        take_in=said["say"],
        by=me(request),
        now=timezone.now(),
    )
    if said["say"]:
        words = ngettext("%(count)d reading counts.", "%(count)d readings count.", count)
    else:
        words = ngettext("%(count)d reading stays out.", "%(count)d readings stay out.", count)
    messages.success(request, words % {"count": count} if count else _("That was decided already."))
    return redirect("sensors")


def _page(
    request: ShopRequest,
    form: SensorForm,
    *,
    sensor: Sensor | None = None,
    token: str | None = None,
    refused: str = "",
    status: int = 200,
) -> HttpResponse:
    shown = {
        "form": form,
        "sensor": sensor,
        "token": token,
        "refused": refused,
        "rows": sensor_rows(now=timezone.now()),
        "runs": flagged_runs(shop=request.shop),
        "decisions": decisions(),
    }
    return render(request, "shop/sensors.html", shown, status=status)

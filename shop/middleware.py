"""Every request knows its shop, and tells the time by the shop's clock."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from shop.models import Pulse, Shop
from shop.queries import the_shop
from shop.units import UnitSystem
from shop.units.here import units_here

SHOPLESS = ("/healthz",)


class ShopRequest(HttpRequest):
    """A request as views see it behind this middleware."""

    pulse: Pulse
    shop: Shop


class AtTheShop:
    """Sets ``request.pulse`` and ``request.shop``, and the shop's time zone and units; one query a request."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: ShopRequest) -> HttpResponse:
        """Answer the request in the shop's time."""
        if request.path in SHOPLESS:
            return self.get_response(request)
        request.pulse = Pulse.now()
        request.shop = the_shop(request.pulse)
        before = units_here.set(UnitSystem(request.shop.units))
        try:
            with timezone.override(request.shop.zone_info):
                return self.get_response(request)
        finally:
            units_here.reset(before)

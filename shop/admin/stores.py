"""Suppliers, and what the stores hold: the lots and their movements are only shown, since services alone write them."""

from django.contrib.admin import register

from shop.admin.site import Pages, ReadOnlyAdmin, site
from shop.models import Lot, Movement, OrderLine, Supplier


@register(Supplier, site=site)
class SupplierAdmin(Pages):
    """Who sells to the shop."""

    list_display = ("name", "email", "phone", "lead_days")
    search_fields = ("name",)


@register(OrderLine, site=site)
class OrderLineAdmin(ReadOnlyAdmin):
    """What was ordered."""

    list_display = ("pack", "packs", "received", "ordered_on", "expected_on", "closed_because")
    list_select_related = ("pack",)


@register(Lot, site=site)
class LotAdmin(ReadOnlyAdmin):
    """Cans, rolls and boxes."""

    list_display = ("product", "label", "holds", "received_on", "use_by", "opened_at")
    list_filter = ("product",)
    list_select_related = ("product",)


@register(Movement, site=site)
class MovementAdmin(ReadOnlyAdmin):
    """What went in and out."""

    list_display = ("at", "lot", "kind", "amount", "by", "reason")
    list_filter = ("kind",)
    list_select_related = ("lot", "by")

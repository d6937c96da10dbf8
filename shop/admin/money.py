"""How the shop charges: one page for the currency, the rates, the taxes and the estimate's numbers."""

from typing import Any

from django import forms
from django.contrib.admin import TabularInline, register
from django.core.exceptions import ValidationError
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext_lazy as _

from shop.admin.site import Pages, site
from shop.models import Charging, Shop, Tax


class TaxForm(forms.ModelForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """A tax that is on something."""

    class Meta:
        model = Tax
        fields = ("name", "rate_pct", "on_hours", "on_materials", "on_subcontracts")

    def clean(self) -> dict[str, Any]:
        """Refuse a tax on nothing."""
        cleaned = super().clean() or {}
        if not any(cleaned.get(on) for on in ("on_hours", "on_materials", "on_subcontracts")):
            raise ValidationError(_("Say what the tax is on: work, materials or sub-contracts."))
        return cleaned


class Taxes(TabularInline):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The taxes, under the currency."""

    model = Tax
    form = TaxForm
    extra = 1


@register(Charging, site=site)
class ChargingAdmin(Pages):
    """One row: its list is its form. Estimates that were sent keep the terms that they were sent with."""

    inlines = (Taxes,)
    fieldsets = (
        (None, {"fields": ("currency", "rounding", "hourly_rate", "markup_pct")}),
        (
            _("Estimates"),
            {
                "fields": (
                    "estimates_first",
                    "deposit_pct",
                    "validity_days",
                    "estimate_prefix",
                    "change_prefix",
                    "estimate_terms",
                )
            },
        ),
        (
            _("Invoices"),
            {"fields": ("bill_by", "payment_days", "invoice_prefix", "credit_prefix", "how_to_pay", "hour_cost")},
        ),
    )

    def changelist_view(self, request: HttpRequest, extra_context: Any = None) -> HttpResponse:
        """Open the one shop's money, or first the form that makes the shop."""
        if Shop.objects.exists():
            return redirect("admin:shop_charging_change", 1)
        return redirect("admin:shop_shop_add")

    def has_add_permission(self, request: HttpRequest) -> bool:
        """Never: the shop itself is made on its own page."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Never."""
        return False

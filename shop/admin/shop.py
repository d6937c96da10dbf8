"""The shop's name, time zone and units."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.admin import register
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from shop.admin.site import Pages, site
from shop.models import Shop, View


class ShopForm(forms.ModelForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The shop's settings, the time zone picked from a list."""

    time_zone = forms.ChoiceField(label=Shop._meta.get_field("time_zone").verbose_name)
    final_views = forms.MultipleChoiceField(
        label=Shop._meta.get_field("final_views").verbose_name,
        help_text=Shop._meta.get_field("final_views").help_text,
        choices=[(value, label) for value, label in View.choices if value],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = Shop
        fields = (
            "name",
            "place",
            "phone",
            "email",
            "time_zone",
            "units",
            "photos_shared",
            "struck_photo_days",
            "final_views",
            "supplies_public",
            "supplies_prices",
            "quiet_from",
            "quiet_until",
            "weekly_on",
            "weekly_at",
        )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = sorted(available_timezones())
        self.fields["time_zone"] = forms.ChoiceField(
            label=self.fields["time_zone"].label, choices=[(name, name.replace("_", " ")) for name in names]
        )


@register(Shop, site=site)
class ShopAdmin(Pages):
    """One row: its list is its form."""

    form = ShopForm

    def changelist_view(self, request: HttpRequest, extra_context: Any = None) -> HttpResponse:
        """Open the one shop, or the form that makes it."""
        if Shop.objects.exists():
            return redirect("admin:shop_shop_change", 1)
        return redirect("admin:shop_shop_add")

    def has_add_permission(self, request: HttpRequest) -> bool:
        """Whether there is none yet."""
        return super().has_add_permission(request) and not Shop.objects.exists()

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Never."""
        return False

    def save_model(self, request: HttpRequest, obj: Shop, form: Any, change: bool) -> None:
        """Save it as the one shop."""
        obj.pk = 1
        super().save_model(request, obj, form, change)

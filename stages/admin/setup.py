"""Zones, stations and products. They stand here and not in the shop's pages, since the log says whether one may go."""

from typing import Any

from django import forms
from django.contrib.admin import TabularInline, action, register
from django.core.exceptions import ValidationError
from django.db.models import Model, QuerySet
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from shop.admin.site import Pages, site
from shop.models import Pack, Product, Station, Zone
from stages.forms.label_table import LabelTableField
from stages.queries.used import Named, named_in_log


class NamedAdmin(Pages):
    """Something that lines of the log may name; what they name stays."""

    named: Named

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Whether no line of any log names it."""
        return super().has_delete_permission(request, obj) and (obj is None or not named_in_log(self.named, obj.pk))


@register(Zone, site=site)
class ZoneAdmin(NamedAdmin):
    """Parts of the shop with an air of their own."""

    named = "zone"
    list_display = ("name", "outdoors", "volume_m3")

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """Whether it is outdoors stays as it was once a coat has dried there."""
        return ("outdoors",) if obj and named_in_log("zone", obj.pk) else ()


@register(Station, site=site)
class StationAdmin(NamedAdmin):
    """Benches, bays, rigs and racks."""

    named = "station"
    list_display = ("name", "kind", "zone", "places", "position")
    list_editable = ("places", "position")
    list_filter = ("kind", "zone")
    list_select_related = ("zone",)


class ProductForm(forms.ModelForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """A product; only one is the usual one of its kind."""

    label_table = LabelTableField(
        label=Product._meta.get_field("label_table").verbose_name,
        required=False,
        help_text=_("As the label gives them, like 10 °C: 36 h, 23 °C: 16 h. Where there is a table it goes first."),
    )

    class Meta:
        model = Product
        fields = "__all__"  # noqa: DJ007  # the admin's fieldsets name them

    def clean_usual(self) -> bool:
        """Refuse a second usual product of a kind."""
        usual, kind = bool(self.cleaned_data["usual"]), self.cleaned_data.get("kind", self.instance.kind)
        held = Product.objects.filter(kind=kind, usual=True).exclude(pk=self.instance.pk).first() if usual else None
        if held:
            raise ValidationError(
                _("“%(name)s” is the usual one. Take it off there first."), params={"name": held.name}
            )
        return usual


class PackInline(TabularInline):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The packs that it is sold in."""

    model = Pack
    extra = 1


@register(Product, site=site)
class ProductAdmin(NamedAdmin):
    """What the shop puts on boats."""

    named = "product"
    form = ProductForm
    inlines = (PackInline,)
    list_display = ("name", "kind", "usual", "active", "recoat_h", "sand_h")
    list_filter = ("kind", "active")
    search_fields = ("name",)
    actions = ("out_of_use", "into_use")
    fieldsets = (
        (None, {"fields": ("name", "kind", "usual", "active", "colour", "colour_name")}),
        (
            _("What it is"),
            {
                "fields": (
                    "oil_based",
                    "sand_between",
                    "smoothed_wet",
                    "uv_protecting",
                    "self_heating",
                    "dry_days_outdoors",
                )
            },
        ),
        (
            _("How it dries, by its label"),
            {
                "fields": (
                    "family",
                    ("tack_free_h", "sand_h", "recoat_h"),
                    ("topcoat_h", "handle_h", "window_h"),
                    ("reference_c", "reference_rh_pct"),
                    "label_table",
                    ("q10", "activation_kj_mol"),
                    "film_factor",
                )
            },
        ),
        (_("Air that it may go on in"), {"fields": (("lowest_c", "highest_c", "most_rh_pct"),)}),
        (
            _("Film and solvent, by its data sheets"),
            {
                "fields": (
                    ("solids_pct", "dry_film_um"),
                    ("solvent_g_l", "solvent_density_kg_l"),
                    ("solvent_molar_g", "solvent_lel_pct"),
                    "solvent_source",
                )
            },
        ),
        (
            _("In the stores"),
            {
                "fields": (
                    ("unit", "counted"),
                    "chemistry",
                    ("spread_m2_per_unit", "loss_pct"),
                    ("shelf_life_days", "opened_life_days", "settles_days"),
                    ("grit", "duck_number", "length_mm", "pieces_per_kg"),
                    "part",
                    "data_sheet",
                )
            },
        ),
        (_("What can hurt someone"), {"fields": ("caution",)}),
    )

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """What it is for stays as it was once a coat of it went on; its unit, once some of it came in."""
        kept = ("kind",) if obj and named_in_log("product", obj.pk) else ()
        return (*kept, "unit") if obj and obj.lots.exists() else kept

    @action(description=_("Take out of use"))
    def out_of_use(self, request: HttpRequest, queryset: QuerySet[Product]) -> None:
        """Take products out of use."""
        _use(queryset, active=False)

    @action(description=_("Take into use"))
    def into_use(self, request: HttpRequest, queryset: QuerySet[Product]) -> None:
        """Take products into use."""
        _use(queryset, active=True)


def _use(products: QuerySet[Product], *, active: bool) -> None:
    for product in products:  # one by one: a bulk update would leave the set-up's stamp as it was
        product.active = active
        product.save()

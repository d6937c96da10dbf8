"""Which labels to print, and on which sheet: asked by the address, so that it prints the same again."""

from typing import Any

from django import forms
from django.db.models import Q
from django.http import QueryDict
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.models import Hull
from shop.labels.sheets import BY_KEY, SHEETS, LabelSheet
from shop.models import Lot
from shop.pdf import Paper
from shop.units import UnitSystem

MOST_COPIES = 20
TYPES = {Paper.A4: "A4", Paper.LETTER: "US Letter"}


class OfHulls(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]  # not subscriptable at run time
    """Hulls to tick, by tag and name."""

    def label_from_instance(self, obj: Hull) -> str:
        """The tag, and the boat's name if it has one."""
        return f"{obj.tag} {obj.name}".strip()


class OfCans(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]  # not subscriptable at run time
    """Cans to tick, by product and lot."""

    def label_from_instance(self, obj: Lot) -> str:
        """The product and the lot."""
        return f"{obj.product.name}, {obj}"


class TagsForm(forms.Form):
    """The sheet, where to begin on it, and what to print.

    Parameters
    ----------
    asked : QueryDict, optional
        What the address asks for; a sheet that it does not name is the likely one.
    units : UnitSystem
        The shop's units: they say which paper is likely.
    """

    size = forms.ChoiceField(label=_("Sheet of labels"), error_messages={"invalid_choice": _("Choose a sheet.")})
    first = forms.IntegerField(
        label=_("First free label"),
        min_value=1,
        initial=1,
        required=False,
        help_text=_("Counted from the upper left, row by row, where some are gone from the sheet."),
    )
    copies = forms.IntegerField(label=_("Of each"), min_value=1, max_value=MOST_COPIES, initial=1, required=False)
    hull = OfHulls(label=_("Hulls"), queryset=Hull.objects.none(), required=False, widget=forms.CheckboxSelectMultiple)
    lot = OfCans(
        label=_("Cans, rolls and boxes"),
        queryset=Lot.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, asked: QueryDict | None = None, *, units: UnitSystem) -> None:
        likely = Paper.LETTER if units is UnitSystem.US else Paper.A4
        sheets = sorted(SHEETS, key=lambda sheet: sheet.paper is not likely)
        if asked is not None and "size" not in asked:
            asked = asked.copy()
            asked["size"] = sheets[0].key
        super().__init__(asked, label_suffix="")
        size, hull, lot = self.fields["size"], self.fields["hull"], self.fields["lot"]
        assert isinstance(size, forms.ChoiceField)
        assert isinstance(hull, OfHulls)
        assert isinstance(lot, OfCans)
        size.choices = [(sheet.key, in_words(sheet)) for sheet in sheets]
        here = Q(work__handed_over_at__isnull=True) | Q(pk__in=_numbers(asked, "hull"))
        hull.queryset = Hull.objects.filter(here).order_by("tag")
        full = Q(holds__gt=0) | Q(pk__in=_numbers(asked, "lot"))
        lot.queryset = Lot.objects.filter(full).select_related("product").order_by("product__name", "pk")

    def clean(self) -> dict[str, Any]:
        """Check the first free label against the sheet, and that something is to be printed."""
        data = super().clean() or self.cleaned_data
        sheet = BY_KEY.get(data.get("size", ""))
        if sheet and data.get("first") and data["first"] > sheet.count:
            self.add_error("first", gettext("This sheet has %(n)s labels.") % {"n": sheet.count})
        if not self.errors and not data["hull"] and not data["lot"]:
            self.add_error(None, gettext("Choose at least one hull or can."))
        return data

    def sheet(self) -> LabelSheet:
        """The sheet that was chosen."""
        return BY_KEY[self.cleaned_data["size"]]


def _numbers(asked: QueryDict | None, name: str) -> list[int]:
    """The rows that an address names: they may be printed even where they are not in the shop any more."""
    return [int(pk) for pk in (asked.getlist(name) if asked else ()) if pk.isdecimal() and len(pk) < 10]


def in_words(sheet: LabelSheet) -> str:
    """A sheet by its paper, count and size: ``A4, 21 labels, 63.5 × 38.1 mm``."""
    if sheet.paper is Paper.LETTER:
        width, height = (f"{side / 25.4:.3f}".rstrip("0").rstrip(".") for side in (sheet.width_mm, sheet.height_mm))
        size = f"{width} × {height} in"
    else:
        size = f"{sheet.width_mm:g} × {sheet.height_mm:g} mm"
    return gettext("%(paper)s, %(n)s labels, %(size)s") % {
        "paper": TYPES[sheet.paper],
        "n": sheet.count,
        "size": size,
    }

"""Forms at the shelves: take in, order, count, use, throw away; what is wrong is told beside its field."""

from collections.abc import Iterable
from decimal import Decimal
from itertools import groupby
from typing import Any
from uuid import uuid4

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models import Lot, Pack
from stages.forms.fields import PlainText, QuantityField

THOUSANDTH = Decimal("0.001")


class DayField(forms.DateField):
    """A day, picked by the browser's own calendar."""

    def __init__(self, **options: Any) -> None:
        super().__init__(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **options)


class SentOnce(forms.Form):
    """A form with the sender's own number, so that sent twice it is done once."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, **options: Any) -> None:
        options["initial"] = {"client_id": uuid4(), **options.get("initial", {})}
        super().__init__(data, label_suffix="", **options)

    def blame(self, error: ValidationError) -> None:
        """Put what the service refuses beside its field, or over the form where the form has no such field."""
        for name, words in error.message_dict.items():
            shown = name in self.fields and not self.fields[name].widget.is_hidden
            self.add_error(name if shown else None, [str(word) for word in words])

    def told(self) -> dict[str, Any]:
        """What the service is to do, by its own names."""
        return dict(self.cleaned_data)


class ArrivalForm(SentOnce):
    """What stands on the packs that came."""

    packs = forms.IntegerField(label=_("Packs"), min_value=1, max_value=999, initial=1)
    received_on = DayField(label=_("Came on"))
    use_by = DayField(label=_("Use by"), required=False, help_text=_("As the label says, where it does."))
    label = PlainText(label=_("Lot number on the label"), max_length=40, required=False)
    unit_price = forms.DecimalField(
        label=_("Price of one pack"),
        required=False,
        min_value=Decimal("0.01"),
        max_digits=10,
        decimal_places=2,
        help_text=_("Empty takes the price on record."),
    )

    def __init__(self, data: Any = None, **options: Any) -> None:
        options["initial"] = {"received_on": timezone.localdate(), **options.get("initial", {})}
        super().__init__(data, **options)


class TakeInForm(ArrivalForm):
    """Packs came that nobody wrote an order for."""

    pack = forms.ModelChoiceField(label=_("What came"), queryset=Pack.objects.none())
    field_order = ("pack",)

    def __init__(self, data: Any = None, **options: Any) -> None:
        super().__init__(data, **options)
        packs = Pack.objects.filter(active=True, product__active=True).select_related("product", "supplier")
        field = self.fields["pack"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = packs.order_by("product__name", "amount", "pk")
        if data is None:
            field.choices = [("", "---------"), *_by_product(field.queryset)]


class OrderForm(SentOnce):
    """A line of the buy list is ordered."""

    pack = forms.ModelChoiceField(queryset=Pack.objects.select_related("product"), widget=forms.HiddenInput)
    packs = forms.IntegerField(label=_("Packs"), min_value=1, max_value=999)
    expected_on = DayField(label=_("Should be here on"))


class UntilForm(forms.Form):
    """The last day that is bought for."""

    until = DayField(label=_("Needed until"), required=False)


class ReasonForm(SentOnce):
    """Something is written off, and says why."""

    reason = PlainText(label=_("Reason"), max_length=200, help_text=_("It stays on record."))


class AmountForm(ReasonForm):
    """How much, in what the product is counted in."""

    amount = forms.CharField()
    field_order = ("amount", "reason")

    def __init__(self, data: Any = None, *, lot: Lot, label: Any = "", **options: Any) -> None:
        super().__init__(data, **options)
        self.fields["amount"] = QuantityField(unit=lot.product.unit, label=label)
        self.order_fields(self.field_order)

    def clean_amount(self) -> Decimal:
        """Give it to a thousandth of the unit."""
        return Decimal(str(self.cleaned_data["amount"])).quantize(THOUSANDTH)


def _by_product(packs: Iterable[Pack]) -> list[tuple[str, list[tuple[int, str]]]]:
    groups = groupby(packs, key=lambda pack: pack.product.name)
    return [(name, [(pack.pk, _called(pack)) for pack in group]) for name, group in groups]


def _called(pack: Pack) -> str:
    return f"{pack.called} · {pack.supplier.name}" if pack.supplier else pack.called

"""How a room would be kept: typed into the page of a coat, and asked by its address."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shop.models import Shop
from shop.units import UnitSystem
from stages.forms.air import HumidityField, TemperatureField
from stages.queries.coat_course import WhatIf

COLDEST_C, WARMEST_C = -30.0, 45.0


class MaybeHumidity(HumidityField):
    """A humidity that may be left out."""

    def clean(self, value: Any) -> Any:
        """Read it; None for nothing."""
        return super().clean(value) if str(value or "").strip() else None


class WhatIfForm(forms.Form):
    """A temperature, and a humidity where the vapour in the room would not stay.

    Parameters
    ----------
    shop : Shop
        For its units.
    """

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["room"] = TemperatureField(units=UnitSystem(shop.units), label=_("If the room were at"))
        self.fields["rh"] = MaybeHumidity(
            label=_("and its humidity at"), required=False, help_text=_("Empty: the vapour in it stays as it is.")
        )

    def clean_room(self) -> float:
        """Refuse what no shop is kept at."""
        celsius: float = self.cleaned_data["room"]
        if not COLDEST_C <= celsius <= WARMEST_C:
            raise ValidationError(_("No shop is kept at that."))
        return celsius

    @property
    def asked(self) -> WhatIf | None:
        """The room that was asked for; None where nothing was, or it was no room."""
        if not self.is_bound or not self.is_valid():
            return None
        return WhatIf(air_c=self.cleaned_data["room"], rh_pct=self.cleaned_data["rh"])

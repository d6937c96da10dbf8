"""Forms by which the crew records the air of a zone and the weather of a day."""

import re
from datetime import timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models import Shop, Zone
from shop.units import UnitError, UnitSystem, format_temperature, parse_temperature
from stages.engine.errors import EngineError

LONGEST = 30
OLDEST = timedelta(days=365)
HUMIDITY = re.compile(r"([-+]?[0-9]+(?:[.,][0-9]+)?) ?%?")


class TemperatureField(forms.CharField):
    """A temperature as people write it, cleaned to °C; a bare number is in the shop's units."""

    def __init__(self, *, units: UnitSystem, **kwargs: Any) -> None:
        self.units = units
        attrs = {"autocomplete": "off", "inputmode": "text", "placeholder": format_temperature(20.0, units)}
        super().__init__(max_length=LONGEST, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> float | None:
        """Read it."""
        text = super().clean(value)
        if not text:
            return None
        try:
            return parse_temperature(text, self.units)
        except UnitError as error:
            raise ValidationError(str(error)) from error


class HumidityField(forms.CharField):
    """A relative humidity such as "55" or "55.5 %", cleaned to per cent."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"autocomplete": "off", "inputmode": "decimal", "placeholder": "50 %"}
        super().__init__(max_length=LONGEST, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> float:
        """Read it."""
        match = HUMIDITY.fullmatch(super().clean(value))
        if match is None:
            raise ValidationError(_("Write the humidity in per cent, like 55 %."))
        rh_pct = float(match[1].replace(",", "."))
        if not 0 <= rh_pct <= 100:
            raise ValidationError(_("Humidity runs from 0 to 100 %."))
        return rh_pct


class ReadingForm(forms.Form):
    """What was read off the thermometer and hygrometer of a zone.

    Parameters
    ----------
    shop : Shop
        For its units.
    """

    zone = forms.ModelChoiceField(label=_("Zone"), queryset=Zone.objects.all(), empty_label=None)
    at = forms.DateTimeField(
        label=_("When"), widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    )
    rh_pct = HumidityField(label=_("Relative humidity"))

    field_order = ["zone", "at", "air_c", "rh_pct", "surface_c"]

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        units = UnitSystem(shop.units)
        self.fields["air_c"] = TemperatureField(units=units, label=_("Air"))
        self.fields["surface_c"] = TemperatureField(
            units=units,
            label=_("Surface of a hull"),
            required=False,
            help_text=_("A cold surface takes dew before the air feels damp."),
        )
        self.fields["at"].initial = timezone.localtime().replace(second=0, microsecond=0)
        self.order_fields(self.field_order)

    def clean_at(self) -> Any:
        """Refuse a slip of the pen in the year."""
        at = self.cleaned_data["at"]
        if at < timezone.now() - OLDEST:
            raise ValidationError(_("That is more than a year ago."))
        return at


class WeatherForm(forms.Form):
    """Whether a day was free of rain in an outdoor zone."""

    zone = forms.ModelChoiceField(queryset=Zone.objects.filter(outdoors=True))
    day = forms.DateField()
    dry = forms.TypedChoiceField(choices=[("yes", _("dry")), ("no", _("rain"))], coerce=lambda word: word == "yes")


def refuse(form: forms.Form, error: EngineError) -> None:
    """Put a service's refusal beside the field that it is about."""
    form.add_error(error.field if error.field in form.fields else None, _(error.message))

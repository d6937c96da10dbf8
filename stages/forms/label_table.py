"""The field for a label's table of drying hours, as the label prints it."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.units import UnitError, UnitSystem, parse_temperature

HOURS = re.compile(r"\s*([0-9]{1,5}(?:[.,][0-9]{1,3})?)\s*h?\s*")


class LabelTableField(forms.CharField):
    """Pairs of temperature and hours, like ``10 °C: 36 h, 23 °C: 16 h``; cleaned to lists of °C and hours."""

    default_error_messages = {"pair": gettext_lazy("Write each pair like 10 °C: 36 h, with a comma between pairs.")}

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=400, **options)

    def prepare_value(self, value: Any) -> Any:
        """The pairs as a label prints them; what was typed stays as it was typed."""
        if isinstance(value, list):
            return ", ".join(f"{celsius:g} °C: {hours:g} h" for celsius, hours in value)
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Whether other pairs were typed."""
        return super().has_changed(self.prepare_value(initial), data)

    def clean(self, value: Any) -> Any:
        """Read the pairs.

        Raises
        ------
        ValidationError
            When one of them is not a temperature and hours.
        """
        return [self._pair(part) for part in re.split(r"[\n;]|,(?=.*?:)", super().clean(value)) if part.strip()]

    def _pair(self, part: str) -> list[float]:
        celsius, _colon, lasting = part.partition(":")
        hours = HOURS.fullmatch(lasting)
        if hours is None:
            raise ValidationError(_(str(self.error_messages["pair"])))
        try:
            return [parse_temperature(celsius, UnitSystem.METRIC), float(hours[1].replace(",", "."))]
        except UnitError as error:
            raise ValidationError(str(error)) from error

"""Fields that people at the bench fill in: plain text, lengths and volumes as they write them, and when it was."""

import unicodedata
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from shop.units import UnitError, parse_length, parse_quantity, parse_volume

KEPT = "\n\r\t"
TURNS = frozenset(
    "\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)  # they make text show as another


def plain_text(text: str) -> None:
    """Refuse control characters, and marks that turn the direction of writing."""
    if any((unicodedata.category(c) in ("Cc", "Cs") and c not in KEPT) or c in TURNS for c in text):
        raise ValidationError(_("The text holds characters that cannot be shown. Type it anew."))


class PlainText(forms.CharField):
    """Text for the log: trimmed, never longer than the log holds, shown as it was typed."""

    def __init__(self, *, rows: int = 0, **options: Any) -> None:
        if rows:
            options.setdefault("widget", forms.Textarea(attrs={"rows": rows}))
        super().__init__(**options)
        self.validators.append(plain_text)


class MeasureField(forms.CharField):
    """A measure as people write it, with its unit; cleaned to the one unit that is kept."""

    def read(self, text: str) -> float:
        """Read what was typed."""
        raise NotImplementedError

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=40, **options)
        self.validators.append(plain_text)

    def clean(self, value: Any) -> Any:
        """Read the measure.

        Raises
        ------
        ValidationError
            When it is none, or has no unit.
        """
        text = super().clean(value)
        try:
            return self.read(text) if text else None
        except UnitError as problem:
            raise ValidationError(str(problem)) from None


class LengthField(MeasureField):
    """A length as people write it; cleaned to metres."""

    def read(self, text: str) -> float:
        """Read it by its unit."""
        return parse_length(text)


class VolumeField(MeasureField):
    """A volume as people write it; cleaned to litres."""

    def read(self, text: str) -> float:
        """Read it by its unit."""
        return parse_volume(text)


class QuantityField(MeasureField):
    """An amount of a product; cleaned to the unit that the product is counted in."""

    def __init__(self, *, unit: str, **options: Any) -> None:
        self.unit = unit
        super().__init__(**options)

    def read(self, text: str) -> float:
        """Read it by the product's unit."""
        return parse_quantity(text, self.unit)


class WhenField(forms.DateTimeField):
    """When something happened, by the shop's clock; empty is now."""

    def __init__(self) -> None:
        super().__init__(
            required=False,
            label=_("When it was, if not now"),
            widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        )

    def to_python(self, value: Any) -> Any:
        """Read the time by the shop's clock.

        Raises
        ------
        ValidationError
            When it is none, or the clocks were changed in that hour.
        """
        try:
            return super().to_python(value)
        except ValidationError as problem:
            if problem.code != "ambiguous_timezone":
                raise
            words = _("The clocks were changed in that hour. Write a time before or after it.")
            raise ValidationError(words) from None

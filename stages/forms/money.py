"""Amounts of money and other decimal numbers, as people write them."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.estimate import Currency, EstimateError
from shop.units.numbers import NumberProblem, read_number
from stages.forms.fields import plain_text

SPACES = str.maketrans("", "", "\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE} '")


class NumberField(forms.CharField):
    """A number as people write it, with a point or a comma; cleaned to a Decimal of zero or more."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}))
        super().__init__(max_length=24, **options)
        self.validators.append(plain_text)

    def clean(self, value: Any) -> Any:
        """Read the number.

        Raises
        ------
        ValidationError
            When it is none, negative, or can be read in two ways.
        """
        text = super().clean(value)
        return self.read(self.bare(text)) if text else None

    def bare(self, text: str) -> str:
        """The text without what stands around a number."""
        return str(text).translate(SPACES)

    def read(self, text: str) -> Decimal:
        """Read what was typed."""
        if text.startswith(("-", "\N{MINUS SIGN}")):
            raise ValidationError(_("Write a number of zero or more."))
        try:
            number = read_number(text)
        except NumberProblem as problem:
            raise ValidationError(f"“{text}” {problem}.") from None
        return Decimal(number.numerator) / Decimal(number.denominator)


class HoursField(NumberField):
    """Hours of work, up to a thousand, to a hundredth."""

    def read(self, text: str) -> Decimal:
        """Read the hours; ``h`` after them is no matter."""
        hours = super().read(text.rstrip("h"))
        if hours > 1000:
            raise ValidationError(_("Hours run from 0 to 1000."))
        return hours.quantize(Decimal("0.01"))


class MoneyField(NumberField):
    """An amount of money in the shop's currency; its code may stand beside it. A price is over zero."""

    def __init__(self, *, currency: Currency, is_price: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self.currency = currency
        self.is_price = is_price

    def bare(self, text: str) -> str:
        """The amount without the currency's code."""
        return re.sub(self.currency.code, "", super().bare(text), flags=re.IGNORECASE)

    def read(self, text: str) -> Decimal:
        """Read the amount, and refuse a part of a coin."""
        amount = super().read(text)
        if self.is_price and amount == 0:
            raise ValidationError(_("A price is over zero. Leave it empty where nobody knows it."))
        try:
            return self.currency.checked(amount, "amount")
        except EstimateError as error:
            raise ValidationError(gettext(error.message)) from None

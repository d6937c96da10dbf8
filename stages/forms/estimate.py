"""What is typed for an estimate beside what is reckoned: hours set by hand, missing prices, lump sums, a discount."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from hulls.charging import figure
from stages.engine.errors import EngineError
from stages.forms.fields import PlainText
from stages.forms.money import HoursField, MoneyField
from stages.planner.hours import USUAL
from stages.queries.estimate_asked import Asked
from stages.queries.estimate_hours import charged, to_tenths
from stages.queries.estimating import Basis

SPARE = 2  # empty rows for lump sums beside those that are filled in
MOST_LUMPS = 12


class EstimateForm(forms.Form):
    """One field an hours line, one a missing price, and rows for what nobody can reckon.

    Parameters
    ----------
    basis : Basis
        What the estimate is reckoned from.
    asked : Asked
        What was typed before.
    """

    words = PlainText(label=_("What the owner reads first"), max_length=4000, required=False, rows=3)

    def __init__(self, data: Any = None, *, basis: Basis, asked: Asked) -> None:
        super().__init__(data, auto_id="estimate-%s", label_suffix="", initial={"words": asked.words})
        self.basis, self.asked = basis, asked
        self.hours = dict(self._hours())
        self.unpriced = [need for need in basis.needs if need.price is None]
        self._add_hours()
        self._add_prices()
        self._add_lumps()

    def _hours(self) -> Iterator[tuple[str, Decimal]]:
        work, beliefs = self.basis.work, self.basis.beliefs
        for spec in work.route.stages:
            if charged(work, spec):
                yield spec.key, to_tenths(spec.hours(work.scope) * beliefs.get(spec.key, USUAL).factor)

    def _add_hours(self) -> None:
        for key, reckoned in self.hours.items():
            name = self.basis.work.route.by_key[key].name
            self.fields[f"hours_{key}"] = HoursField(label=name, required=False)
            self.initial[f"hours_{key}"] = figure(self.asked.hours.get(key, reckoned))

    def _add_prices(self) -> None:
        for n, need in enumerate(self.unpriced):
            label = gettext("%(product)s, one %(unit)s") % {"product": need.product, "unit": need.unit}
            currency = self.basis.terms.currency
            self.fields[f"price_{n}"] = MoneyField(label=label, currency=currency, is_price=True, required=False)
            if need.product in self.asked.prices:
                self.initial[f"price_{n}"] = figure(self.asked.prices[need.product])

    def _add_lumps(self) -> None:
        filled = list(self.asked.lumps)
        rows = max(len(filled), self._sent_rows()) + SPARE
        for n in range(min(rows, MOST_LUMPS)):
            words, price = filled[n] if n < len(filled) else ("", None)
            self._add_pair(f"lump_{n}", gettext("What"), words, price)
        off = self.asked.discount or ("", None)
        self._add_pair("off", gettext("Why"), *off)

    def _add_pair(self, name: str, label: str, words: str, price: Decimal | None) -> None:
        self.fields[f"{name}_words"] = PlainText(label=label, max_length=120, required=False)
        self.fields[f"{name}_price"] = MoneyField(
            label=gettext("Amount"), currency=self.basis.terms.currency, required=False
        )
        self.initial[f"{name}_words"] = words
        self.initial[f"{name}_price"] = figure(price) if price is not None else ""

    def _sent_rows(self) -> int:
        """Rows that came with the form, so that what was typed in a spare one comes back."""
        return sum(1 for n in range(MOST_LUMPS) if self.data.get(f"lump_{n}_words") or self.data.get(f"lump_{n}_price"))

    def clean(self) -> dict[str, Any]:
        """Refuse an amount without its words, and words without their amount."""
        cleaned = super().clean() or {}
        for name in self.pairs:
            words, price = cleaned.get(f"{name}_words"), cleaned.get(f"{name}_price")
            if price is not None and not words and not self.errors.get(f"{name}_words"):
                self.add_error(f"{name}_words", gettext("Write what it is for."))
            if words and price is None and not self.errors.get(f"{name}_price"):
                self.add_error(f"{name}_price", gettext("Write how much it is."))
        return cleaned

    def told(self) -> Asked:
        """What was typed; hours as they are reckoned count as not typed."""
        data = self.cleaned_data
        typed = {key: data[f"hours_{key}"] for key in self.hours}
        pairs = {name: (data[f"{name}_words"], data[f"{name}_price"]) for name in self.pairs}
        filled = {name: pair for name, pair in pairs.items() if pair[1] is not None}
        off = filled.pop("off", None)
        return Asked(
            hours={
                k: hours if hours is not None else Decimal(0) for k, hours in typed.items() if hours != self.hours[k]
            },
            prices={
                need.product: data[f"price_{n}"]
                for n, need in enumerate(self.unpriced)
                if data.get(f"price_{n}") is not None
            },
            lumps=tuple(filled.values()),
            discount=off,
            words=data["words"],
        )

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field."""
        fields = {"discount": "off_price", "words": "words"}
        self.add_error(fields.get(error.field), gettext(error.message))

    @property
    def pairs(self) -> list[str]:
        """The names of the rows of words and amount."""
        return [name.removesuffix("_words") for name in self.fields if name.endswith("_words")]

    @property
    def hours_fields(self) -> list[forms.BoundField]:
        """A field for each hours line."""
        return [self[f"hours_{key}"] for key in self.hours]

    @property
    def price_fields(self) -> list[forms.BoundField]:
        """A field for each product without a price."""
        return [self[f"price_{n}"] for n in range(len(self.unpriced))]

    @property
    def lump_rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """Fields for words and amount, row by row."""
        rows = [name for name in self.pairs if name != "off"]
        return [(self[f"{name}_words"], self[f"{name}_price"]) for name in rows]

    @property
    def says_unpriced(self) -> str:
        """How many products have no price."""
        n = len(self.unpriced)
        words = ngettext(
            "%(n)s product has no price in the stores; without one it is left out.",
            "%(n)s products have no price in the stores; without one they are left out.",
            n,
        )
        return words % {"n": n} if n else ""

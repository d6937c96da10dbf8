"""A change order as the bench fills it in: what was found, which steps wait, and what it costs."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.charging import figure
from hulls.estimate import Currency
from stages.engine.errors import EngineError
from stages.engine.work import Work
from stages.forms.fields import PlainText
from stages.forms.money import HoursField, MoneyField
from stages.queries.finds import Proposal, touchable
from stages.services.change_orders import Change


class ChangeOrderForm(forms.Form):
    """Sent, it goes to the boat's owner at once; the steps that are ticked wait for the answer."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    find = forms.IntegerField(required=False, widget=forms.HiddenInput)
    words = PlainText(label=_("What was found, and what is to be done"), max_length=4000, rows=3)
    stages = forms.MultipleChoiceField(label=_("Steps that wait for the answer"), widget=forms.CheckboxSelectMultiple)
    hours = HoursField(label=_("Hours more"), required=False)

    def __init__(self, data: Any = None, *, work: Work, proposal: Proposal, currency: Currency) -> None:
        first = {
            "client_id": uuid4(),
            "find": proposal.find,
            "words": proposal.words,
            "stages": list(proposal.stages),
            "hours": figure(proposal.hours) if proposal.hours else "",
        }
        super().__init__(data, initial=first, auto_id="change-%s", label_suffix="")
        stages = self.fields["stages"]
        assert isinstance(stages, forms.MultipleChoiceField)
        stages.choices = [(spec.key, spec.name) for spec in touchable(work)]
        self.fields["materials"] = MoneyField(label=_("Materials"), currency=currency, required=False)
        self.fields["price"] = MoneyField(label=_("Anything else"), currency=currency, required=False)

    def told(self) -> Change:
        """What was typed."""
        data = self.cleaned_data
        return Change(
            words=data["words"],
            stages=tuple(data["stages"]),
            hours=data["hours"] or Decimal(0),
            materials=data["materials"] or Decimal(0),
            price=data["price"] or Decimal(0),
            find=data["find"],
        )

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field."""
        fields = {"amount": "hours", "lines": "hours", "stage": "stages"}
        name = fields.get(error.field, error.field)
        self.add_error(name if name in self.fields else None, gettext(error.message))

    @property
    def in_sight(self) -> list[forms.BoundField]:
        """Fields to fill in."""
        return [self[name] for name in ("words", "hours", "materials", "price", "stages")]

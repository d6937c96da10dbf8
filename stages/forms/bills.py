"""What is typed about money: a payment, why one is struck, why an invoice is taken back, a period."""

from datetime import date
from typing import Any
from uuid import uuid4

from django import forms
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.charging import figure
from hulls.estimate import Balance, Currency
from hulls.models import PaidBy, PaymentKind
from stages.engine.errors import EngineError
from stages.forms.fields import PlainText
from stages.forms.money import MoneyField
from stages.services.payments import REFERENCE_LENGTH, Paid
from stages.services.texts import REASON_LENGTH

DAY = {"type": "date"}


def day_field(label: Any, **options: Any) -> forms.DateField:
    """Build a field for a day."""
    return forms.DateField(label=label, widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"), **options)


class PaymentForm(forms.Form):
    """A payment, deposit or refund; ``anyway`` is there once one that looks the same was found."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    kind = forms.ChoiceField(label=_("What it is"), choices=PaymentKind)
    on = day_field(_("Day"))
    how = forms.ChoiceField(label=_("How"), choices=PaidBy, initial=PaidBy.TRANSFER)
    reference = PlainText(
        label=_("Reference"),
        max_length=REFERENCE_LENGTH,
        required=False,
        help_text=_("Such as the number on the bank's statement."),
    )
    anyway = forms.BooleanField(label=_("It is another one: record it too"), required=False)

    def __init__(self, data: Any = None, *, currency: Currency, balance: Balance) -> None:
        first = PaymentKind.PAYMENT if balance.billed or balance.paid else PaymentKind.DEPOSIT
        begins: dict[str, Any] = {"client_id": uuid4(), "on": timezone.localdate(), "kind": first}
        if balance.due_now > 0:
            begins["amount"] = figure(balance.due_now, currency.places)
        super().__init__(data, initial=begins, auto_id="payment-%s", label_suffix="")
        label = gettext("Amount, %(currency)s") % {"currency": currency.code}
        self.fields["amount"] = MoneyField(label=label, currency=currency)
        self.order_fields(["client_id", "kind", "amount", "on", "how", "reference", "anyway"])
        self.asks = False

    def told(self) -> Paid:
        """The payment as the service takes it."""
        data = self.cleaned_data
        return Paid(
            kind=PaymentKind(data["kind"]),
            amount=data["amount"],
            on=data["on"],
            how=PaidBy(data["how"]),
            reference=data["reference"],
        )

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field."""
        self.add_error(error.field if error.field in self.fields else None, gettext(error.message))

    @property
    def shown(self) -> list[forms.BoundField]:
        """The fields in sight; the last one only where one that looks the same was found."""
        return [field for field in self.visible_fields() if field.name != "anyway" or self.asks]


class ReasonForm(forms.Form):
    """Why something is taken back."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    reason = PlainText(label=_("Why"), max_length=REASON_LENGTH, help_text=_("It stays on record."))

    def __init__(self, data: Any = None, *, about: object) -> None:
        super().__init__(data, initial={"client_id": uuid4()}, auto_id=f"reason-{about}-%s", label_suffix="")

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field."""
        self.add_error(error.field if error.field in self.fields else None, gettext(error.message))


class IssueForm(forms.Form):
    """The button that issues an invoice: the sender's number, and what was looked at."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    seen = forms.CharField(max_length=64, widget=forms.HiddenInput)


class PeriodForm(forms.Form):
    """From one day to another, both counted; without any, the year so far."""

    first = day_field(_("From"))
    last = day_field(_("To"))

    def __init__(self, data: Any = None) -> None:
        today = timezone.localdate()
        begins = {"first": today.replace(month=1, day=1), "last": today}
        filled = data if data and ("first" in data or "last" in data) else None
        super().__init__(filled, initial=begins, auto_id="period-%s", label_suffix="")

    def clean(self) -> dict[str, Any]:
        """Refuse a period that ends before it begins."""
        cleaned = super().clean() or {}
        first, last = cleaned.get("first"), cleaned.get("last")
        if first and last and last < first:
            self.add_error("last", gettext("It ends before it begins."))
        return cleaned

    def days(self) -> tuple[date, date]:
        """The first and the last day."""
        held = self.cleaned_data if self.is_bound else self.initial
        return held["first"], held["last"]

"""Forms about sensors: add one, change one, and decide on what was flagged."""

from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from shop.models import Flag, Sensor


class SensorForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """A new sensor."""

    sends = forms.BooleanField(
        label=_("It sends its readings itself, and gets a token"),
        required=False,
        initial=True,
        help_text=_("Without a token its readings come as a file."),
    )

    class Meta:
        model = Sensor
        fields = ("name", "zone", "every_min")
        labels = {"every_min": _("Minutes between its readings")}


class SensorChangeForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """What may change of a sensor: its name, where it hangs and since when, how often it reads, its unit.

    Parameters
    ----------
    now : datetime
        The moment.
    """

    at = forms.DateTimeField(
        label=_("Moved, since when"),
        required=False,
        help_text=_("Of a sensor that hangs in another zone now. What it read before stays with the old zone."),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )

    unit = forms.ChoiceField(
        label=_("Temperatures in its file"),
        required=False,
        choices=[
            ("", _("as the file says")),
            ("c", _("°C where it says nothing")),
            ("f", _("°F where it says nothing")),
        ],
    )

    class Meta:
        model = Sensor
        fields = ("name", "zone", "at", "every_min", "unit")
        labels = {"every_min": _("Minutes between its readings")}

    def __init__(self, *args: Any, now: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.now = now
        self.order_fields(self.Meta.fields)

    def clean_at(self) -> datetime:
        """Refuse a move that is still to come, or lies before the last one."""
        at: datetime = self.cleaned_data["at"] or self.now
        last = self.instance.moves.order_by("at").last()
        if at > self.now:
            raise ValidationError(_("That time has not come yet."))
        if last is not None and at <= last.at:
            words = _("It was moved at %(when)s already: say a later moment.")
            raise ValidationError(words, params={"when": date_format(timezone.localtime(last.at), "Y-m-d H:i")})
        return at


class DecisionForm(forms.Form):
    """What becomes of flagged readings."""

    sensor = forms.ModelChoiceField(queryset=Sensor.objects.all())
    flag = forms.TypedChoiceField(choices=Flag.choices, coerce=Flag)
    first = forms.DateTimeField()
    last = forms.DateTimeField()
    say = forms.TypedChoiceField(choices=[("in", _("take in")), ("out", _("keep out"))], coerce=lambda say: say == "in")

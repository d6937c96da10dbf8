"""Forms about sensors: add one, and decide on what was flagged."""

from django import forms
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


class DecisionForm(forms.Form):
    """What becomes of flagged readings."""

    sensor = forms.ModelChoiceField(queryset=Sensor.objects.all())
    flag = forms.TypedChoiceField(choices=Flag.choices, coerce=Flag)
    first = forms.DateTimeField()
    last = forms.DateTimeField()
    say = forms.TypedChoiceField(choices=[("in", _("take in")), ("out", _("keep out"))], coerce=lambda say: say == "in")

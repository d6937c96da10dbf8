"""The form by which a logger's file is sent."""

from datetime import tzinfo
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.template.defaultfilters import filesizeformat
from django.utils.translation import gettext_lazy as _

from shop.models import Sensor, Shop
from shop.readings.columns import Unit
from shop.readings.file import HowToRead, unit_of
from shop.readings.stamps import zone_named
from shop.sheets.dates import DateOrder

LARGEST = 2 * 1024 * 1024


def check_size(file: "UploadedFile[bytes]") -> None:
    """Refuse a file that would keep the page waiting."""
    size = file.size or 0
    if size > LARGEST:
        raise ValidationError(
            _("This file has %(size)s; %(largest)s is the most here. Split it, or use the command import_readings."),
            params={"size": filesizeformat(size), "largest": filesizeformat(LARGEST)},
        )


class ReadingsFileForm(forms.Form):
    """A file, whose it is, and what it does not say of itself.

    Parameters
    ----------
    shop : Shop
        For its time zone.
    """

    sensor = forms.ModelChoiceField(label=_("Logger"), queryset=Sensor.objects.all(), empty_label=None)
    file = forms.FileField(
        label=_("CSV file"),
        help_text=_("With a line that names its columns: moment, temperature and humidity, rain. 2 MB at most."),
        validators=[check_size],
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
    )
    zone = forms.CharField(
        label=_("Time zone of its clock"),
        max_length=50,
        help_text=_("Like Europe/Paris; like UTC+01:00 for a logger that is never put forward or back."),
    )
    date_order = forms.ChoiceField(
        label=_("Dates in it"),
        required=False,
        choices=[
            ("", _("year-month-day only: 2026-05-03")),
            (DateOrder.DMY.value, _("day, month, year too: 3.5.2026")),
            (DateOrder.MDY.value, _("month, day, year too: 5/3/2026")),
            (DateOrder.YMD.value, _("year, month, day with other marks too: 2026/5/3")),
        ],
    )
    unit = forms.ChoiceField(
        label=_("Temperatures"),
        required=False,
        choices=[
            ("", _("as the file or the sensor says")),
            ("c", _("°C where it says nothing")),
            ("f", _("°F where it says nothing")),
        ],
    )

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["zone"].initial = shop.time_zone

    def clean_zone(self) -> tzinfo:
        """Find the zone."""
        try:
            return zone_named(self.cleaned_data["zone"])
        except ValueError as error:
            raise ValidationError(str(error)) from error

    @property
    def how(self) -> HowToRead:
        """What the file does not say of itself, of a valid form."""
        order, unit = self.cleaned_data["date_order"], self.cleaned_data["unit"]
        return HowToRead(
            zone=self.cleaned_data["zone"],
            date_order=DateOrder(order) if order else None,
            unit=cast(Unit, unit) if unit else unit_of(self.cleaned_data["sensor"]),
        )

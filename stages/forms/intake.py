"""The form by which a spreadsheet of hulls is sent."""

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.template.defaultfilters import filesizeformat
from django.utils.translation import gettext_lazy as _

from hulls.intake import DateOrder

LARGEST = 2 * 1024 * 1024


def check_size(file: "UploadedFile[bytes]") -> None:
    """Refuse a file that would keep the page waiting."""
    size = file.size or 0
    if size > LARGEST:
        raise ValidationError(
            _("This file has %(size)s; %(largest)s is the most here. Split it, or use the command import_hulls."),
            params={"size": filesizeformat(size), "largest": filesizeformat(LARGEST)},
        )


class SheetForm(forms.Form):
    """A file, and how to read it."""

    file = forms.FileField(
        label=_("CSV file"),
        help_text=_("Commas, semicolons or tabs; UTF-8 or Windows-1252; 2 MB at most."),
        validators=[check_size],
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
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
    keep_good = forms.BooleanField(
        label=_("Take in the good rows though others are bad"),
        required=False,
    )

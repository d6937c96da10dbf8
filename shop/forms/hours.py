"""Forms of hours and days off."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import DayOff, Weekday, WorkDay
from shop.models.hours import check_hours
from shop.services.hours import DayHours
from shop.working_hours import USUAL

CLOCK = "%H:%M"


def clock_field(label: Any) -> forms.TimeField:
    """Build a field for a time of day that may be empty."""
    return forms.TimeField(label=label, required=False, widget=forms.TimeInput(attrs={"type": "time"}, format=CLOCK))


class DayForm(forms.Form):
    """The hours of one day of the week."""

    starts = clock_field(_("from"))
    ends = clock_field(_("until"))
    break_starts = clock_field(_("break from"))
    break_ends = clock_field(_("until"))

    def __init__(self, data: Any = None, *, weekday: int, initial: dict[str, Any] | None = None) -> None:
        super().__init__(data, prefix=f"day{weekday}", initial=initial)
        self.day = Weekday(weekday).label

    def clean(self) -> dict[str, Any]:
        """Refuse hours that cannot be."""
        cleaned = super().clean() or {}
        if not self.errors:
            check_hours(*(cleaned.get(name) for name in ("starts", "ends", "break_starts", "break_ends")))
        return cleaned

    @property
    def hours(self) -> DayHours:
        """What was typed."""
        return DayHours(**self.cleaned_data)


def week_forms(rows: list[WorkDay], data: Any = None) -> list[DayForm]:
    """A form a day, with the hours that hold: the person's own, else the usual ones."""
    own = {row.weekday: row for row in rows}
    return [DayForm(data, weekday=weekday, initial=_initial(own, weekday)) for weekday in range(7)]


def _initial(own: dict[int, WorkDay], weekday: int) -> dict[str, Any]:
    names = ("starts", "ends", "break_starts", "break_ends")
    if own:
        row = own.get(weekday)
        return {name: getattr(row, name) for name in names} if row else {}
    morning_and_afternoon = USUAL.get(weekday)
    if not morning_and_afternoon:
        return {}
    (starts, break_starts), (break_ends, ends) = morning_and_afternoon
    return dict(zip(names, (starts, ends, break_starts, break_ends), strict=True))


class DaysOffForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """Days off; the last is the first where only one day is meant."""

    last = forms.DateField(
        label=_("Last day"),
        required=False,
        help_text=_("Empty for one day."),
        widget=forms.DateInput(attrs={"type": "date"}),
    )

    class Meta:
        model = DayOff
        fields = ("first", "last", "reason")
        widgets = {"first": forms.DateInput(attrs={"type": "date"})}

    def clean(self) -> dict[str, Any]:
        """One day where no last one is given."""
        cleaned = super().clean() or {}
        cleaned["last"] = cleaned.get("last") or cleaned.get("first")
        self.instance.last = cleaned["last"]
        return cleaned

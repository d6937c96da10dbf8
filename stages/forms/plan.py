"""What of the plan somebody wants to see, and the day by which a boat is wished."""

from collections.abc import Mapping
from datetime import date, timedelta

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from stages.queries.plan_chart import Seen, Zoom

FAR = timedelta(days=3 * 365)


def seen_of(asked: Mapping[str, str], today: date) -> Seen:
    """Read an address's words.

    Parameters
    ----------
    asked : mapping of str to str
        ``zoom``, ``from`` (ISO 8601) and ``boat``.
    today : date
        By the shop's clock.

    Returns
    -------
    Seen
        A week and a month begin on a Monday; what cannot be read shows this week.
    """
    zoom = asked.get("zoom", "")
    chosen = Zoom(zoom) if zoom in set(Zoom) else Zoom.WEEK
    first = _day(asked.get("from", ""), today)
    monday = first - timedelta(days=first.weekday())
    return Seen(zoom=chosen, first=first if chosen is Zoom.DAY else monday, boat=asked.get("boat", "")[:16])


def _day(text: str, today: date) -> date:
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return today
    return found if abs(found - today) <= FAR else today


class WishForm(forms.Form):
    """The day by which a boat is wished; left out, only the day is asked that makes nobody wait."""

    by = forms.DateField(
        label=_("Wished for"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}),
        help_text=_("Empty asks only when it could be done behind all others."),
    )

    def __init__(self, asked: Mapping[str, str]) -> None:
        super().__init__({"by": asked.get("by", "")}, label_suffix="")

    def clean_by(self) -> date | None:
        """Refuse a day that is over, or so far that no plan reaches it."""
        by: date | None = self.cleaned_data["by"]
        if by is not None and not timezone.localdate() <= by <= timezone.localdate() + FAR:
            raise forms.ValidationError(_("Write a day from today on, within three years."))
        return by

"""What a boat's owner wants to be written to about."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from hulls.models import ProgressLink, Wish


class LettersForm(forms.Form):
    """How often, and the week's letter."""

    wish = forms.ChoiceField(
        label=_("Write to me about"),
        choices=Wish.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose one of these."),
            "invalid_choice": _("That is none of the choices. Choose one of these."),
        },
    )
    weekly = forms.BooleanField(label=_("And a letter every week, with photos"), required=False)

    def __init__(self, data: Any = None, *, about: ProgressLink | None) -> None:
        first = {"wish": about.wish, "weekly": about.weekly} if about else {}
        self.has_address = bool(about and about.hull.owner.email)
        super().__init__(data, initial=first, auto_id="letters-%s", label_suffix="")

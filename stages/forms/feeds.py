"""The form by which an address of a calendar is made."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from stages.queries.feeds import Offered


class FeedForm(forms.Form):
    """Whose calendar.

    Parameters
    ----------
    offered : sequence of Offered
        What whoever asks may make addresses of.
    """

    of = forms.ChoiceField(label=_("Whose calendar"))

    def __init__(self, *args: Any, offered: Sequence[Offered], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.names = {one.value: one.name for one in offered}
        self.fields["of"] = forms.ChoiceField(
            label=self.fields["of"].label,
            choices=list(self.names.items()),
            help_text=_("An address that is open of the same calendar is withdrawn."),
        )

    @property
    def name(self) -> str:
        """The name of what was chosen."""
        return self.names[self.cleaned_data["of"]]

    @property
    def hull_id(self) -> int | None:
        """The hull, if it is one's."""
        return self._number("h")

    @property
    def person_id(self) -> int | None:
        """The person, if it is one's."""
        return self._number("p")

    def _number(self, kind: str) -> int | None:
        of: str = self.cleaned_data["of"]
        return int(of[1:]) if of[0] == kind and of[1:].isdigit() else None

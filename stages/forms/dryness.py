"""Acts by which a coat that was tried is recorded: a tap each."""

from typing import Any, ClassVar

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from stages.engine.label import Dryness
from stages.engine.learning import Seen
from stages.forms.act import ActForm
from stages.models import Surface


class TriedForm(ActForm):
    """The outermost coat of a step's surface was tried."""

    seen: ClassVar[Seen]
    quiet = True
    surface = forms.ChoiceField(choices=Surface, widget=forms.HiddenInput)

    def narrow(self) -> None:
        """Take the step's own surface for given, and say what its coat was tried for."""
        if self.spec is None or self.spec.surface is None:
            return
        self.initial.setdefault("surface", self.spec.surface)
        top = self.at_hand.work.state.top(self.spec.surface)
        if top:
            self.button = self.says(self.at_hand.work.tried_for(top))

    def says(self, dryness: Dryness | None) -> str | Promise:
        """What the button says of a coat that is tried for a dryness."""
        return self.press

    def told(self) -> dict[str, Any]:
        """The surface, and what was found."""
        return {**super().told(), "seen": self.seen}


class TackyForm(TriedForm):
    """It was still tacky."""

    action, title, press, seen = "tacky", _("Tried: still tacky"), _("Still tacky"), Seen.TACKY


class DryForm(TriedForm):
    """It was dry."""

    action, title, press, seen = "dry", _("Tried: dry"), _("Dry"), Seen.DRY

    def says(self, dryness: Dryness | None) -> str | Promise:
        """A coat that is sanded between shows by clean dust that it is dry."""
        return _("Sands clean") if dryness is Dryness.SAND else self.press

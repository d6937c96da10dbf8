"""Acts beside the steps: moves, finds, moisture, lead test, notes, photos, strikes, the progress link."""

from typing import Any

from django import forms
from django.urls import reverse
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from stages.engine.rules.approved import estimates
from stages.engine.world import Station
from stages.forms.act import ActForm
from stages.forms.fields import PlainText
from stages.models import Damage
from stages.services.orders import Outcome

LEAD_OR_NOT = [("yes", _("Lead found")), ("no", _("No lead found"))]
NUMERIC = {"inputmode": "numeric", "step": 1}
DECIMAL = {"inputmode": "decimal", "step": "any"}


class MoveForm(ActForm):
    """Move the hull to another station."""

    action, title, press = "move", _("Move the hull"), _("It is moved")
    fold = _("To a certain place, or at another time")
    main = ("station",)
    station = forms.TypedChoiceField(label=_("To"), coerce=int)
    place = forms.IntegerField(
        label=_("Place"),
        help_text=_("Empty takes the first free one."),
        required=False,
        widget=forms.NumberInput(attrs=NUMERIC),
    )

    def narrow(self) -> None:
        """Offer every station with its free places."""
        stations = self.at_hand.work.world.stations
        self.offer("station", [(pk, station_words(station)) for pk, station in stations.items()])
        if target := stations.get(self.initial.get("station", 0)):
            self.button = gettext("Moved to %(station)s") % {"station": target.name}


def station_words(station: Station) -> str:
    """A station with the numbers of its free places."""
    if not station.free:
        return gettext("%(station)s (full)") % {"station": station.name}
    free = ", ".join(map(str, station.free[:12]))
    return gettext("%(station)s (free: %(places)s)") % {"station": station.name, "places": free}


class FindForm(ActForm):
    """Record more damage found on the way."""

    action, title, press = "find", _("More damage found"), _("Record the find")
    main = ("damage", "count", "note", "ask_owner")
    damage = forms.ChoiceField(label=_("What"), choices=Damage, widget=forms.RadioSelect)
    count = forms.IntegerField(label=_("How many"), initial=1, widget=forms.NumberInput(attrs=NUMERIC))
    note = PlainText(label=_("Where, and how bad"), max_length=400, required=False)
    ask_owner = forms.BooleanField(label=_("Ask the boat's owner first: a change order"), required=False)

    def narrow(self) -> None:
        """An owner who approved an estimate is asked before it costs more."""
        self.initial.setdefault("ask_owner", bool(estimates(self.at_hand.work)))

    def told(self) -> dict[str, Any]:
        """What was found; whom to ask is the next page's."""
        told = super().told()
        del told["ask_owner"]
        return told

    def leads_to(self, outcome: Outcome) -> str:
        """The change order, filled in from the find."""
        if not self.cleaned_data["ask_owner"] or outcome.entry is None:
            return ""
        address = reverse("change_order", kwargs={"tag": self.at_hand.hull.tag})
        return f"{address}?find={outcome.entry.number}"


class MoistureForm(ActForm):
    """Record a moisture reading of the wood."""

    action, title, press = "moisture", _("Wood moisture"), _("Record the reading")
    main = ("moisture_pct", "spot")
    moisture_pct = forms.FloatField(label=_("Moisture, %"), widget=forms.NumberInput(attrs=DECIMAL))
    spot = PlainText(label=_("Where on the hull"), max_length=80, required=False)


class LeadTestForm(ActForm):
    """Record a lead test of the old finish."""

    action, title, press = "lead_test", _("Lead test"), _("Record the test")
    main = ("positive", "how")
    positive = forms.TypedChoiceField(
        label=_("Result"), choices=LEAD_OR_NOT, coerce=lambda answer: answer == "yes", widget=forms.RadioSelect
    )
    how = PlainText(label=_("How it was tested"), max_length=200, required=False)


class NoteForm(ActForm):
    """Write an internal note."""

    action, title, press = "note", _("Write a note"), _("Keep the note")
    main = ("text",)
    text = PlainText(
        label=_("Note"), help_text=_("For the shop only; the boat's owner never sees it."), max_length=4000, rows=4
    )


class StrikeForm(ActForm):
    """Strike a line of the log."""

    action, title, press = "strike", _("Strike a line of the log"), _("Strike it")
    main = ("number", "reason")
    takes_back = True
    number = forms.IntegerField(label=_("Line"), widget=forms.NumberInput(attrs=NUMERIC))
    reason = PlainText(
        label=_("Reason"), help_text=_("The line stays in sight, struck through, with this reason."), max_length=400
    )


class LinkForm(ActForm):
    """Make a progress link, or a new one in place of the old."""

    action, title, press = "link", _("Progress link for the boat's owner"), _("Make the link")

    def narrow(self) -> None:
        """A link is made now, not at another time."""
        del self.fields["at"]


class WithdrawLinkForm(LinkForm):
    """Withdraw the progress link."""

    action, title, press = "withdraw_link", _("Withdraw the progress link"), _("Withdraw the link")
    takes_back = True

"""Acts at a step of the work: start, coat, sand, rags, finish, leave out, put back."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.urls import reverse
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from stages.engine.assess import StageStatus
from stages.engine.vocab import Gate
from stages.engine.worktime import worked_h
from stages.forms.act import ActForm, about_stage
from stages.forms.fields import PlainText
from stages.forms.money import HoursField
from stages.models import Surface
from stages.saying import hours as format_hours

Choices = list[tuple[Any, Any]]
WAYS_WITH_RAGS = [
    ("spread flat outdoors to dry", _("Spread flat outdoors to dry, away from buildings")),
    ("under water in a lidded metal can", _("Under water in a metal can with a lid")),
]


def steps_for(form: ActForm, worth: Callable[[StageStatus], bool]) -> Choices:
    """The steps that are worth offering; a form that was sent may name any, since the step may have moved on since."""
    found = [status for status in form.at_hand.statuses if form.is_bound or worth(status)]
    return [(status.spec.key, status.spec.name) for status in found]


class StartForm(ActForm):
    """Put a step on the bench."""

    action, title, press = "start", _("Start a step"), pgettext_lazy("a step of the work", "Start")
    main = ("stage", "wet_method")
    stage = about_stage()
    wet_method = forms.BooleanField(
        label=_("The wet method is used: this boat's old finish holds lead"), required=False
    )

    def narrow(self) -> None:
        """Ask for the wet method where the old finish holds lead; offer the steps that were not started."""
        work = self.at_hand.work
        if not self.about:
            waiting = steps_for(self, lambda status: work.open(status.spec) and not status.record.started_at)
            self.fields["stage"] = forms.ChoiceField(label=_("Step"), choices=waiting)
        gates = self.spec.gates if self.spec else {Gate.LEAD}
        if not work.state.lead or Gate.LEAD not in gates:
            del self.fields["wet_method"]


class SandForm(ActForm):
    """Record that a surface was sanded."""

    action, title, press = "sand", _("Record sanding"), _("It is sanded")
    fold = _("Wet, or at another time")
    main: tuple[str, ...] = ("surface", "grit")
    stage = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)
    surface = forms.ChoiceField(label=_("Surface"), choices=Surface)
    grit = forms.IntegerField(
        label=_("Grit"), required=False, widget=forms.NumberInput(attrs={"inputmode": "numeric", "step": 1})
    )
    wet_method = forms.BooleanField(label=_("Sanded wet"), required=False)

    def narrow(self) -> None:
        """Take the step's own surface for given."""
        if self.spec and self.spec.surface:
            self.initial.setdefault("surface", self.spec.surface)
            self.main = ("grit",)


class RagsForm(ActForm):
    """Record what became of oily rags."""

    action, title, press = "rags", _("See to the oily rags"), _("The rags are dealt with")
    main = ("how",)
    stage = about_stage()
    how = forms.ChoiceField(label=_("Where the rags are"), choices=WAYS_WITH_RAGS, widget=forms.RadioSelect)


class FinishForm(ActForm):
    """Finish a step."""

    action, title, press = "finish", _("Finish it"), pgettext_lazy("a step of the work", "Finish")
    fold = _("Hours that it took, or at another time")
    stage = about_stage()
    hours = HoursField(label=_("Hours that it took"), required=False)

    def narrow(self) -> None:
        """Say what the clock and the plan make of it, for whoever did not write the hours down."""
        spec = self.spec
        if spec is None:
            return
        expected = format_hours(spec.hours(self.at_hand.work.scope))
        words = gettext("The plan expects %(expected)s.") % {"expected": expected}
        started_at = self.at_hand.work.state.stage(spec.key).started_at
        if started_at is not None and not spec.coats:
            since = format_hours(worked_h(started_at, self.at_hand.now, self.at_hand.work.world.zone_info))
            gaps = {"expected": expected, "since": since}
            words = gettext("The plan expects %(expected)s; since its start, nights left out, it is %(since)s.") % gaps
        self.fields["hours"].help_text = words

    def done_elsewhere(self) -> str:
        """The page of the hand-over, for the step by which the boat goes home."""
        asked = self.at_hand.work.route.by_key.get(self.cleaned_data["stage"])
        leaves = asked is not None and Gate.HAND_OVER in asked.gates
        return reverse("hand_over", kwargs={"tag": self.at_hand.hull.tag}) if leaves else ""

    def told(self) -> dict[str, Any]:
        """Hours as a plain number."""
        told = super().told()
        return {**told, "hours": float(told["hours"]) if told["hours"] is not None else None}


class LeaveOutForm(ActForm):
    """Leave a step out of this hull's plan."""

    action, title, press = "leave_out", _("Leave a step out"), _("Leave it out")
    main = ("stage", "reason")
    stage = forms.ChoiceField(label=_("Step"))
    reason = PlainText(label=_("Reason"), help_text=_("It stays on record."), max_length=400)

    def narrow(self) -> None:
        """Offer the steps that are still open, but for the one by which the boat goes home."""
        self.offer("stage", steps_for(self, self._may_be_left_out))

    def _may_be_left_out(self, status: StageStatus) -> bool:
        return self.at_hand.work.open(status.spec) and Gate.HAND_OVER not in status.spec.gates


class PutBackForm(ActForm):
    """Put a step that was left out back into the plan."""

    action, title, press = "put_back", _("Put a step back"), _("Put it back")
    main = ("stage",)
    stage = forms.ChoiceField(label=_("Step"))

    def narrow(self) -> None:
        """Offer the steps that were left out with a reason."""
        self.offer("stage", steps_for(self, lambda status: bool(status.record.left_out)))

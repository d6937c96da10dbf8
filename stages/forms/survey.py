"""The survey: what is counted, and how the old finishes hold."""

from typing import Any

from django import forms
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from stages.engine.vocab import Damage
from stages.forms.act import ActForm
from stages.forms.notes import NUMERIC
from stages.models import Condition as ConditionNames
from stages.models import Damage as DamageNames
from stages.models import Surface as SurfaceNames


class SurveyForm(ActForm):
    """Write the survey, or write it anew: the counts replace those from before."""

    action, title, press = "survey", _("Survey"), _("Record the survey")

    def narrow(self) -> None:
        """Ask for each kind of damage, and for each surface that still carries its old finish."""
        state = self.at_hand.work.state
        for damage in DamageNames:
            self.fields[damage.value] = forms.IntegerField(
                label=capfirst(damage.label), required=False, widget=forms.NumberInput(attrs=NUMERIC)
            )
            self.initial.setdefault(damage.value, state.counts.get(Damage(damage.value)))
        for surface, condition in state.old_finish.items():
            self.fields[surface.value] = forms.ChoiceField(
                label=_("Old finish: %(surface)s") % {"surface": SurfaceNames(surface).label},
                choices=ConditionNames,
                required=False,
            )
            self.initial.setdefault(surface.value, condition.value)
        self.main = tuple(name for name in self.fields if name not in ("client_id", "at", "override"))

    def told(self) -> dict[str, Any]:
        """Counts and conditions apart."""
        data = self.cleaned_data
        counts = {damage.value: data[damage.value] for damage in Damage if data.get(damage.value) is not None}
        conditions = {s.value: data[s.value] for s in self.at_hand.work.state.old_finish if data.get(s.value)}
        return {"counts": counts, "conditions": conditions}

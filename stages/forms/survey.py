"""The survey: what is counted, and how the old finishes hold."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from stages.engine.errors import EngineError
from stages.engine.places import read_places
from stages.engine.vocab import Damage
from stages.forms.act import ABOUT_IT, ActForm
from stages.forms.fields import plain_text
from stages.forms.notes import NUMERIC
from stages.forms.photos import ACCEPT, Photos, SeveralFiles
from stages.models import Condition as ConditionNames
from stages.models import Damage as DamageNames
from stages.models import Surface as SurfaceNames


class SurveyForm(ActForm):
    """Write the survey, or write it anew: the counts replace those from before."""

    action, title, press = "survey", _("Survey"), _("Record the survey")
    fold = _("Where it is, photos, or at another time")
    has_file = True

    def narrow(self) -> None:
        """Ask for each kind of damage, where it is, and each surface that still carries its old finish."""
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
        self.main = tuple(name for name in self.fields if name not in ABOUT_IT)
        for damage in DamageNames:
            self._add_places(damage)

    def _add_places(self, damage: DamageNames) -> None:
        name = capfirst(damage.label)
        self.fields[f"{damage.value}_at"] = PlacesField(
            label=gettext("%(what)s: where") % {"what": name},
            required=False,
            help_text=_("Like 3-5 port, 7 starboard: ribs counted from the bow.") if damage is DamageNames.RIBS else "",
        )
        self.fields[f"{damage.value}_photos"] = Photos(
            label=gettext("%(what)s: photos") % {"what": name},
            required=False,
            widget=SeveralFiles(attrs={"accept": ACCEPT}),
        )

    def told(self) -> dict[str, Any]:
        """Counts, places, photos and conditions apart."""
        data = self.cleaned_data
        counts = {damage.value: data[damage.value] for damage in Damage if data.get(damage.value) is not None}
        conditions = {s.value: data[s.value] for s in self.at_hand.work.state.old_finish if data.get(s.value)}
        places = {damage.value: data[f"{damage.value}_at"] for damage in Damage if data.get(f"{damage.value}_at")}
        photos = {d.value: data[f"{d.value}_photos"] for d in Damage if data.get(f"{d.value}_photos")}
        return {"counts": counts, "conditions": conditions, "places": places, "photos": photos}


class PlacesField(forms.CharField):
    """Places on a hull as they are written at the bench."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=400, **options)
        self.validators.append(plain_text)

    def clean(self, value: Any) -> Any:
        """Read the places.

        Raises
        ------
        ValidationError
            When one of them cannot be read.
        """
        text = super().clean(value)
        try:
            return read_places(text)
        except EngineError as error:
            raise ValidationError(gettext(error.message)) from None

"""What somebody says of their boat on the supplies page: asked by the address, which is the share link too."""

from collections.abc import Iterator
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.intake.dimensions import wrong_dimensions
from hulls.lines import DEFAULT, HULL_TYPES, HullType, Principal, filled_in
from shop.models import Units
from shop.units import UnitSystem, convert, format_length
from shop.units.tidy import tidy
from stages.advice.answers import MOST_PIECES, Answers, Finish, Outside
from stages.engine.vocab import Damage
from stages.forms.air import TemperatureField
from stages.forms.fields import LengthField
from stages.forms.what_if import MaybeHumidity

MEASURES = {"length": "length_m", "beam": "beam_m", "depth": "depth_m", "ends": "end_depth_m"}
COLDEST_C, WARMEST_C = -20.0, 45.0
USUAL_C, USUAL_RH_PCT = 20.0, 50.0
COUNT_WRONG = _("Write a number from 0 to %(most)s.") % {"most": MOST_PIECES}
NUMERIC = {"inputmode": "numeric", "min": 0, "max": MOST_PIECES, "placeholder": "0"}
OUTSIDE = [
    (Outside.LATEX, _("New canvas, latex filler")),
    (Outside.OIL, _("New canvas, oil-based filler")),
    (Outside.PAINT, _("The canvas stays and is painted")),
    (Outside.LEAVE, _("Nothing")),
]
FINISH = [
    (Finish.STRIP, _("Old varnish off, sealed and varnished")),
    (Finish.VARNISH, _("Varnished over what is there")),
    (Finish.LEAVE, _("Nothing")),
]
COUNTED = {
    Damage.RIBS: _("Ribs"),
    Damage.PLANKS: _("Planks"),
    Damage.STEMS: _("Stems"),
    Damage.INWALES: _("Inwales"),
    Damage.DECKS: _("Decks"),
    Damage.OUTWALES: _("Outwales"),
    Damage.SEATS: _("Seats to cane"),
}
DEFAULTS = {
    "type": DEFAULT.key,
    "outside": str(Outside.LATEX),
    "inside": str(Finish.STRIP),
    "brightwork": str(Finish.VARNISH),
}
BLOCKS = (
    (_("Your boat"), ("length", "beam", "depth", "ends", "type")),
    (_("What it needs"), ("outside", "inside", "brightwork")),
    (_("Broken, to mend or replace"), tuple(damage.value for damage in COUNTED)),
    (_("Your air, and how to show amounts"), ("air", "rh", "units")),
)


def choice(label: Any, choices: Any, **options: Any) -> forms.ChoiceField:
    """Build a choice that refuses what stands in no list in words that help."""
    wrong = {"invalid_choice": _("“%(value)s” is none of the choices. Choose one.")}
    return forms.ChoiceField(label=label, choices=choices, error_messages=wrong, **options)


class SuppliesForm(forms.Form):
    """Four measures, what the boat needs, and the air that it is done in.

    Parameters
    ----------
    asked : QueryDict
        The address's query; empty for a first look.
    units : UnitSystem
        The shop's units, which count where the address names none.
    """

    length = LengthField(label=_("Length over all"), help_text=_("Like 16' 2 1/2\" or 4.9 m."))
    beam = LengthField(label=_("Beam"), help_text=_("The greatest, outside."))
    depth = LengthField(label=_("Depth amidships"), help_text=_("Keel line to gunwale."))
    ends = LengthField(label=_("Height of the ends"), help_text=_("Keel line to tip."))
    type = choice(_("Kind of hull"), [(key, capfirst(_(kind.title))) for key, kind in HULL_TYPES.items()])
    outside = choice(_("Outside"), OUTSIDE)
    inside = choice(_("Inside"), FINISH)
    brightwork = choice(_("Gunwales, decks, seats and thwarts"), FINISH)
    units = choice(_("Show amounts in"), Units.choices)

    def __init__(self, asked: QueryDict, *, units: UnitSystem) -> None:
        self.asked = {name: asked.get(name, "") for name in asked if name in self.names()}
        self.system = UnitSystem(self.asked["units"]) if self.asked.get("units") in set(UnitSystem) else units
        usual = {"units": str(units)} | DEFAULTS
        super().__init__({**usual, **_said(self.asked)} if self.asked else None, initial=usual, label_suffix="")
        for damage, label in COUNTED.items():
            self.fields[damage.value] = forms.IntegerField(
                label=label,
                min_value=0,
                max_value=MOST_PIECES,
                required=False,
                widget=forms.NumberInput(attrs=NUMERIC),
                error_messages=dict.fromkeys(("invalid", "min_value", "max_value"), COUNT_WRONG),
            )
        self.fields["air"] = TemperatureField(units=self.system, label=_("Temperature"), required=False)
        self.fields["rh"] = MaybeHumidity(label=_("Relative humidity"), required=False)
        for name in MEASURES:
            self.fields[name].widget.attrs["autocomplete"] = "off"
            self.fields[name].error_messages["required"] = gettext("Write this measure: the list comes of it.")

    @classmethod
    def names(cls) -> tuple[str, ...]:
        """The names that the address may hold, in the order in which the share link has them."""
        return tuple(name for _title, names in BLOCKS for name in names)

    def blocks(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The fields in their groups, each with its heading."""
        return [(str(title), [self[name] for name in names]) for title, names in BLOCKS]

    def clean_air(self) -> float:
        """Refuse what nobody paints in; nothing said is a room."""
        celsius = self.cleaned_data["air"]
        if celsius is None:
            return USUAL_C
        if not COLDEST_C <= celsius <= WARMEST_C:
            raise ValidationError(gettext("Nobody paints in that."))
        return float(celsius)

    def clean_rh(self) -> float:
        """Take nothing said for a room."""
        rh_pct = self.cleaned_data["rh"]
        return USUAL_RH_PCT if rh_pct is None else float(rh_pct)

    def clean(self) -> dict[str, Any]:
        """Check that the measures are those of a canoe."""
        data = super().clean() or self.cleaned_data
        read = {known: data[name] for name, known in MEASURES.items() if data.get(name) is not None}
        fields = {known: name for name, known in MEASURES.items()}
        for known, message in wrong_dimensions(read).items():
            self.add_error(fields[known], message)
        return data

    @property
    def hull_type(self) -> HullType:
        """The kind of hull of a form that is valid."""
        return HULL_TYPES[self.cleaned_data["type"]]

    @property
    def principal(self) -> Principal:
        """The measures of a form that is valid, with the stems and the rocker of its kind."""
        data = self.cleaned_data
        measured = Principal(**{known: data[name] for name, known in MEASURES.items()})
        return filled_in(measured, self.hull_type)

    @property
    def answers(self) -> Answers:
        """What the boat needs, of a form that is valid."""
        data = self.cleaned_data
        return Answers(
            outside=Outside(data["outside"]),
            inside=Finish(data["inside"]),
            brightwork=Finish(data["brightwork"]),
            counts={damage: data[damage.value] for damage in COUNTED if data[damage.value]},
        )

    def canonical(self) -> str:
        """The short form of the query of a form that is valid: what is not said goes without saying."""
        return urlencode(list(self._canonical()))

    def _canonical(self) -> Iterator[tuple[str, str]]:
        usual = DEFAULTS | dict.fromkeys((damage.value for damage in COUNTED), "0")
        for name in self.names():
            value = self._canonical_of(name)
            if value and value != str(usual.get(name, "")):
                yield name, value

    def _canonical_of(self, name: str) -> str:
        """One value: measures as typed, in plain characters, the rest as it was read, the air with its unit."""
        if name in MEASURES:
            return tidy(self.data[name])
        if not self.asked.get(name) and name in ("air", "rh"):
            return ""
        value = self.cleaned_data[name]
        if name == "air":
            return f"{convert(value, 'degC', 'degF'):.4g}F" if self.system is UnitSystem.US else f"{value:.4g}C"
        if name == "rh":
            return f"{value:g}"
        return "" if value is None else str(value)

    def first_of_hull(self, units: UnitSystem) -> dict[str, Any]:
        """What the form of a hull begins with, of a form that is valid."""
        hull, outside = self.principal, self.answers.outside
        lengths = {name: format_length(getattr(hull, name), units) for name in MEASURES.values()}
        first = lengths | {"hull_type": self.hull_type.key}
        return first | ({"filler": str(outside)} if self.answers.new_canvas else {})

    def said(self) -> list[tuple[str, str]]:
        """What was said of the boat, in words, for the shop to read: each label with its answer, of a valid form."""
        shown = dict(self._canonical())
        for name in ("type", "outside", "inside", "brightwork"):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            shown[name] = str(dict(field.choices)[self.cleaned_data[name]])  # type: ignore[arg-type]
        return [
            (str(self.fields[name].label), shown[name]) for name in self.names() if name in shown and name != "units"
        ]


def _said(asked: dict[str, str]) -> dict[str, str]:
    return {name: value for name, value in asked.items() if value}

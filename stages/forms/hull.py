"""A hull's own particulars: whose it is, how big, what of, which finish, and when it was promised."""

from typing import Any
from uuid import uuid4

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.intake.days import wrong_days
from hulls.intake.dimensions import wrong_dimensions
from hulls.models import Hull, Owner
from shop.units import UnitSystem, format_length
from stages.engine.errors import EngineError
from stages.forms.fields import LengthField, PlainText, plain_text
from stages.models import Surface

LENGTHS = ("length_m", "beam_m", "depth_m", "end_depth_m")
MEASURED = (*LENGTHS, "rocker_m")
HOW = _("Like 16' 2\", 34 1/2 in, 4.9 m or 88 cm.")
DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
COLOUR = {"type": "color"}
BLOCKS = (
    (_("The boat"), ("tag", "name", *LENGTHS, "hull_type", "rocker_m")),
    (_("Its owner"), ("owner", "owner_name", "owner_email", "owner_phone", "owner_language")),
    (_("What it is made of"), ("wood", "fittings", "old_colour", "old_finish")),
    (_("What its owner wants"), ("filler", "inside_varnish", "colour", "colour_name")),
    (_("When"), ("arrived_on", "promised_on", "priority", "notes")),
)


OF_ITS_OWN = ("name", "hull_type", "wood", "fittings", "filler", "inside_varnish", "colour", "colour_name")


def as_it_left(hull: Hull, units: UnitSystem) -> dict[str, Any]:
    """What a boat that comes in again is known to be: as it left, in the colour that it was painted then."""
    measured = {name: value for name in MEASURED if (value := getattr(hull, name)) is not None}
    return {
        **{name: getattr(hull, name) for name in OF_ITS_OWN},
        **{name: format_length(value, units) for name, value in measured.items()},
        "old_colour": hull.colour,
        "owner": hull.owner_id,
    }


class HullForm(forms.ModelForm):  # type: ignore[type-arg]  # not subscriptable at run time
    """A hull's particulars, for taking it in and for changing them later.

    Parameters
    ----------
    units : UnitSystem
        The shop's units, in which lengths are shown back.
    fixed : collection of str
        Fields that the work has overtaken and that stay as they are.
    """

    owner = forms.ModelChoiceField(
        label=_("An owner whom the shop knows"),
        queryset=Owner.objects.order_by("name", "pk"),
        required=False,
        empty_label=_("somebody new, as follows"),
    )
    owner_name = PlainText(
        label=_("Owner's name"),
        max_length=80,
        error_messages={"required": _("Write whose boat it is, or choose an owner above.")},
    )
    owner_email = forms.EmailField(label=_("E-mail"), max_length=254, required=False)
    owner_phone = PlainText(label=_("Telephone"), max_length=40, required=False)
    owner_language = forms.ChoiceField(
        label=_("Language of their pages and letters"),
        choices=[("", _("as they choose")), *settings.LANGUAGES],
        required=False,
    )
    length_m = LengthField(label=_("Length over all"), help_text=HOW)
    beam_m = LengthField(label=_("Beam"), help_text=_("The greatest, over the planking."))
    depth_m = LengthField(label=_("Depth amidships"))
    end_depth_m = LengthField(label=_("Depth at the ends"))
    rocker_m = LengthField(
        label=_("Rocker"),
        required=False,
        help_text=_("Rise of the keel line at the stems; empty takes what the type has."),
    )
    old_finish = forms.MultipleChoiceField(
        label=_("Surfaces with an old finish"),
        choices=Surface,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        initial=[surface.value for surface in Surface],
    )
    client_id = forms.UUIDField(widget=forms.HiddenInput)

    class Meta:
        model = Hull
        fields = (
            "tag",
            "name",
            "hull_type",
            "wood",
            "fittings",
            "old_colour",
            "filler",
            "inside_varnish",
            "colour",
            "colour_name",
            "arrived_on",
            "promised_on",
            "priority",
            "notes",
        )
        widgets = {
            "colour": forms.TextInput(attrs=COLOUR),
            "old_colour": forms.TextInput(attrs=COLOUR),
            "arrived_on": DAY,
            "promised_on": DAY,
            "notes": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, *args: Any, units: UnitSystem, fixed: frozenset[str] = frozenset(), **more: Any) -> None:
        super().__init__(*args, **more)
        self.label_suffix = ""
        self.fields["owner_name"].required = not self.data.get("owner")
        self.initial.setdefault("client_id", uuid4())
        if self.instance.pk:
            self._change(units)
        for name in fixed:
            self.fields[name].disabled = True
            self.fields[name].help_text = gettext("The work is past this choice.")
        for field in self.fields.values():
            if type(field) in (forms.CharField, forms.EmailField):
                field.validators.append(plain_text)

    def _change(self, units: UnitSystem) -> None:
        """Show a hull that is in work already: its arrival is in the log and stays as it is there."""
        owner = self.instance.owner
        self.initial.update(
            {
                name: format_length(value, units)
                for name in MEASURED
                if (value := getattr(self.instance, name)) is not None
            }
        )
        self.initial.update(owner_name=owner.name, owner_email=owner.email, owner_phone=owner.phone, owner=None)
        self.initial.update(owner_language=owner.language)
        others = self.fields["owner"]
        assert isinstance(others, forms.ModelChoiceField)
        others.label, others.empty_label = gettext("Another owner now"), gettext("no, the same as before")
        del self.fields["arrived_on"], self.fields["old_finish"]

    def blocks(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The fields in their groups, each with its heading."""
        return [(str(title), [self[name] for name in names if name in self.fields]) for title, names in BLOCKS]

    def clean_tag(self) -> str:
        """Refuse a tag that another hull has, capitals aside."""
        tag: str = self.cleaned_data["tag"]
        taken = Hull.objects.annotate(plain=Lower("tag")).filter(plain=tag.lower()).exclude(pk=self.instance.pk)
        if taken.exists():
            raise ValidationError(gettext("The shop has a hull with this tag already."))
        return tag

    def clean(self) -> dict[str, Any]:
        """Check what hangs together: dimensions and dates."""
        data = super().clean() or self.cleaned_data
        for name, message in wrong_dimensions(self._measured(data)).items():
            self.add_error(name, message)
        arrived = data.get("arrived_on") or self.instance.arrived_on
        for name, message in wrong_days(arrived, data.get("promised_on"), timezone.localdate()).items():
            if name in self.fields:  # a day that nobody can change here is not judged
                self.add_error(name, message)
        return data

    def _measured(self, data: dict[str, Any]) -> dict[str, float]:
        """The lengths that could be read; one that nobody touched stays as it was, to the last digit."""
        read = {name: data[name] for name in MEASURED if data.get(name) is not None}
        return {
            name: getattr(self.instance, name) if self.instance.pk and name not in self.changed_data else value
            for name, value in read.items()
        }

    def filled(self) -> Hull:
        """The hull as the form has it, unsaved, with its owner saved or not."""
        data = self.cleaned_data
        hull: Hull = self.instance
        for name, value in ({"rocker_m": None} | self._measured(data)).items():
            setattr(hull, name, value)
        hull.owner = data["owner"] or self._owner()
        return hull

    def _owner(self) -> Owner:
        data = self.cleaned_data
        owner = self.instance.owner if self.instance.pk else Owner()
        owner.name, owner.email, owner.phone = data["owner_name"], data["owner_email"], data["owner_phone"]
        owner.language = data["owner_language"]
        return owner

    def blame(self, error: EngineError) -> None:
        """Put what a service says beside the field that it is about."""
        field = {"at": "arrived_on"}.get(error.field, error.field)
        self.add_error(field if field in self.fields else None, gettext(error.message))

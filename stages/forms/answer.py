"""The boat owner's answer: behind the link in their own name, or told to the shop and written down by its owner."""

from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.models import Estimate
from stages.engine.errors import EngineError
from stages.forms.fields import PlainText
from stages.services.answers import NAME_LENGTH, Reply

YES, NO = "yes", "no"
ANSWERS = [(YES, _("Approved")), (NO, _("Declined"))]
NAMELESS = {"required": _("Write your name: it stands for your signature.")}


class AnswerForm(forms.Form):
    """Yes or no to one version, under its digest, and who says so."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    label = forms.CharField(max_length=24, widget=forms.HiddenInput)
    version = forms.IntegerField(min_value=1, widget=forms.HiddenInput)
    digest = forms.CharField(max_length=64, widget=forms.HiddenInput)
    name = PlainText(label=_("Your name"), max_length=NAME_LENGTH, error_messages=NAMELESS)
    answer = forms.ChoiceField(choices=ANSWERS, widget=forms.HiddenInput)  # the button that was pressed

    def __init__(self, data: Any = None, *, about: Estimate | None = None, name: str = "") -> None:
        first: dict[str, Any] = {"client_id": uuid4(), "name": name}
        if about is not None:
            first |= {"label": about.label, "version": about.version, "digest": about.digest}
        label = data.get("label", "") if data is not None else about.label if about else ""
        super().__init__(data, initial=first, auto_id=f"answer-{label}-%s", label_suffix="")
        self.fields["name"].widget.attrs["autocomplete"] = "name"

    def is_about(self, ask: Estimate) -> bool:
        """Whether it answers exactly what waits, and not a version from before."""
        sent = (self.data.get("label"), self.data.get("version"), self.data.get("digest"))
        return sent == (ask.label, str(ask.version), ask.digest)

    def reply(self) -> Reply:
        """The answer as the service takes it."""
        told = {name: self.cleaned_data[name] for name in ("label", "version", "digest", "name")}
        return Reply(yes=self.cleaned_data["answer"] == YES, **told)

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field."""
        self.add_error("name" if error.field == "name" else None, gettext(error.message))

    @property
    def complaints(self) -> list[str]:
        """What is wrong beside no field in sight."""
        return [*self.non_field_errors(), *(error for field in self.hidden_fields() for error in field.errors)]


class ToldForm(forms.Form):
    """What a boat's owner said by word of mouth, written down by the shop's owner."""

    client_id = forms.UUIDField(widget=forms.HiddenInput)
    name = PlainText(label=_("Who said so"), max_length=NAME_LENGTH)
    answer = forms.ChoiceField(label=_("What they said"), choices=ANSWERS, widget=forms.RadioSelect)
    how = PlainText(label=_("How"), help_text=_("Such as by telephone; it stays on record."), max_length=80)

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, initial={"client_id": uuid4()}, auto_id="told-%s", label_suffix="")

    def reply(self, row: Estimate) -> Reply:
        """The answer to exactly what was sent."""
        data = self.cleaned_data
        return Reply(
            label=row.label,
            version=row.version,
            digest=row.digest,
            yes=data["answer"] == YES,
            name=data["name"],
            how=data["how"],
        )

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field."""
        self.add_error("name" if error.field == "name" else None, gettext(error.message))

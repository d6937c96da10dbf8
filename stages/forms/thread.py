"""What a boat's owner and the shop write to each other, and the day on which the owner comes."""

from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hulls.models.remarks import REMARK_LENGTH
from stages.engine.errors import EngineError
from stages.forms.fields import PlainText
from stages.services.texts import REASON_LENGTH
from stages.services.thread import Written

EMPTY = {"required": _("Write something first.")}


class ThreadForm(forms.Form):
    """What every form of the thread has: the sender's own number, by which sent twice is once."""

    prefix_of_ids = "thread"
    client_id = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, first: dict[str, Any] | None = None) -> None:
        begins = {"client_id": uuid4(), **(first or {})}
        super().__init__(data, initial=begins, auto_id=f"{self.prefix_of_ids}-%s", label_suffix="")

    @property
    def complaints(self) -> list[str]:
        """What is wrong beside no field in sight."""
        return [*self.non_field_errors(), *(error for field in self.hidden_fields() for error in field.errors)]

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field; what is about no field asks for a number of its own next time."""
        self.add_error(error.field if error.field in self.fields else None, gettext(error.message))
        if not error.field:
            self.renew()

    def renew(self) -> None:
        """Give the form a new number, so that what stands in it can be sent as something else."""
        self.data = {**{name: self.data.get(name, "") for name in self.fields}, "client_id": str(uuid4())}


class AskForm(ThreadForm):
    """What a boat's owner asks or tells the shop."""

    prefix_of_ids = "ask"
    words = PlainText(
        label=_("Ask us, or tell us something"), max_length=REMARK_LENGTH, rows=4, error_messages=EMPTY, strip=True
    )
    photo = forms.IntegerField(required=False, widget=forms.HiddenInput, min_value=1, max_value=2**31)

    def written(self) -> Written:
        """As the service takes it."""
        return Written(words=self.cleaned_data["words"], photo=self.cleaned_data["photo"])

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside its field; a photo that is not there any more is left out next time."""
        super().blame(error)
        if error.field == "photo":
            self.data = {**{name: self.data.get(name, "") for name in self.fields}, "photo": ""}


class CollectForm(ThreadForm):
    """When a boat's owner comes for it."""

    prefix_of_ids = "collect"
    day = forms.DateField(
        label=_("I come on"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": _("Choose the day."), "invalid": _("Write the day as 2026-06-12.")},
    )
    words = PlainText(
        label=_("At what time, or anything else"), max_length=REMARK_LENGTH, required=False, empty_value=""
    )


class ReplyForm(ThreadForm):
    """What the shop writes to a boat's owner."""

    prefix_of_ids = "reply"
    words = PlainText(label=_("Write to the boat's owner"), max_length=REMARK_LENGTH, rows=4, error_messages=EMPTY)
    asks = forms.BooleanField(label=_("It is a question: we wait for their answer"), required=False)

    def written(self) -> Written:
        """As the service takes it."""
        return Written(words=self.cleaned_data["words"], asks=self.cleaned_data["asks"])


class StrikeRemarkForm(forms.Form):
    """Why a remark is struck."""

    reason = PlainText(
        label=_("Why it is struck"),
        max_length=REASON_LENGTH,
        error_messages={"required": _("Write the reason; it stays on record.")},
    )

    def __init__(self, data: Any = None, *, about: int) -> None:
        super().__init__(data, auto_id=f"strike{about}-%s", label_suffix="")

    def blame(self, error: EngineError) -> None:
        """Put what was refused beside the reason."""
        self.add_error("reason", gettext(error.message))

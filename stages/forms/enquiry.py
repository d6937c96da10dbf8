"""What somebody writes to the shop, and how it is closed."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shop.page_token import TokenProblem, new_page_token, read_page_token
from stages.forms.fields import PlainText
from stages.services.texts import REASON_LENGTH

PROBLEMS = {
    TokenProblem.TOO_YOUNG: _("That was quicker than a person writes. Wait a few seconds and send it again."),
    TokenProblem.TOO_OLD: _("The page was open for a long time. What you wrote is still here: send it again."),
    TokenProblem.FALSE: _("The page had gone stale. What you wrote is still here: send it again."),
}

SENT_BEFORE = _(
    "The shop has a letter from this page already. What you wrote now is not with it, and still here: send it again to "
    "send it as another letter."
)


def one_line(text: str) -> None:
    """Refuse a name that runs over a line's end: it could pass for something else where it is shown."""
    if len(text.splitlines()) > 1 or "\t" in text:
        raise ValidationError(_("Write it on one line."))


class EnquiryForm(forms.Form):
    """Name, e-mail and words; with a page token, and a trap for programs that fill in every field."""

    name = PlainText(label=_("Your name"), max_length=80, strip=True)
    email = forms.EmailField(label=_("Your e-mail"), max_length=254)
    words = PlainText(
        label=_("What you would like to ask"),
        max_length=2000,
        required=False,
        rows=4,
        help_text=_("The shop sees your list with it."),
    )
    website = forms.CharField(label=_("Leave this empty"), required=False, max_length=200)
    token = forms.CharField(widget=forms.HiddenInput, max_length=200, required=False)

    def __init__(self, data: Any = None) -> None:
        super().__init__(data, initial={"token": new_page_token()} if data is None else None, label_suffix="")
        self.fields["name"].validators.append(one_line)
        self.fields["name"].widget.attrs["autocomplete"] = "name"
        self.fields["email"].widget.attrs["autocomplete"] = "email"
        self.fields["website"].widget.attrs |= {"autocomplete": "off", "tabindex": "-1"}

    @property
    def shown(self) -> list[forms.BoundField]:
        """The fields that a person fills in."""
        return [self[name] for name in ("name", "email", "words")]

    def clean_website(self) -> str:
        """Refuse what no person fills in."""
        if self.cleaned_data["website"]:
            raise ValidationError(gettext("Leave this field empty: it tells people from programs."))
        return ""

    def clean(self) -> dict[str, Any]:
        """Read the token; one that no longer counts gives way to a new one, and what was written stays."""
        data = super().clean() or self.cleaned_data
        token = read_page_token(data.get("token", ""))
        if token.problem:
            self.add_error(None, ValidationError(PROBLEMS[token.problem]))
        if token.problem in (TokenProblem.TOO_OLD, TokenProblem.FALSE):
            self._renew_token()
        data["token"] = token.number
        return data

    def refuse_other_words(self) -> None:
        """Say that this page's letter was sent with other words; the new ones stay, and may be sent as another."""
        self.add_error(None, ValidationError(SENT_BEFORE))
        self._renew_token()

    def _renew_token(self) -> None:
        written = {name: self.data.get(name, "") for name in self.fields}
        self.data = written | {"token": new_page_token()}


class CloseForm(forms.Form):
    """Why an enquiry is closed."""

    reason = PlainText(
        label=_("Why it is closed"),
        max_length=REASON_LENGTH,
        error_messages={"required": _("Write the reason; it stays on record.")},
    )

    def __init__(self, data: Any = None, *, auto_id: str = "id_%s") -> None:
        super().__init__(data, label_suffix="", auto_id=auto_id)

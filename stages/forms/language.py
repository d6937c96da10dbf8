"""The language in which somebody without a log-in reads."""

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _


class LanguageForm(forms.Form):
    """One of the languages that there are; the button that was pressed names it."""

    language = forms.ChoiceField(
        choices=settings.LANGUAGES,
        error_messages={
            "required": _("Choose one of these languages."),
            "invalid_choice": _("We do not have that language. Choose one of these."),
        },
    )

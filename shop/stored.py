"""Texts that a new shop starts with, in the reader's language: its route, its stations, its products, its colours.

They lie in the database, where the shop changes them. One that was not changed is in the catalogue of translations,
since the set-up marks it; one that somebody typed is in none, and is shown as it was typed.
"""

from django.utils.translation import gettext


def stored(text: str) -> str:
    """A stored text in the reader's language, if it is one of those that a new shop starts with."""
    return gettext(text) if text else ""  # to nothing, gettext answers with the head of the catalogue

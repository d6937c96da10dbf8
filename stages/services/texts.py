"""Texts that people write, checked before they go into the log."""

import unicodedata

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError

REASON_LENGTH = 400
LAYOUT = "\n\r\t"


def checked_text(text: str, field: str, longest: int, *, empty: bool = False) -> str:
    """A text, trimmed.

    Parameters
    ----------
    text : str
        As it was written.
    field : str
        Where an error belongs.
    longest : int
        Most letters.
    empty : bool
        Whether it may be left out.

    Raises
    ------
    EngineError
        When it is missing, too long, or holds what no page can show.
    """
    text = text.strip()
    if not text and not empty:
        raise EngineError(field, gettext_noop("Write something first."))
    if len(text) > longest:
        raise EngineError(field, gettext_noop("That is too long."))
    if any(unicodedata.category(letter) in ("Cc", "Cs") and letter not in LAYOUT for letter in text):
        raise EngineError(field, gettext_noop("The text holds characters that cannot be shown."))
    return text


def checked_reason(reason: str, field: str = "reason") -> str:
    """A reason, trimmed.

    Raises
    ------
    EngineError
        When it is empty, too long, or holds what no page can show.
    """
    if not reason.strip():
        raise EngineError(field, gettext_noop("Write the reason; it stays on record."))
    if len(reason.strip()) > REASON_LENGTH:
        raise EngineError(field, gettext_noop("Keep the reason under 400 letters."))
    return checked_text(reason, field, REASON_LENGTH)

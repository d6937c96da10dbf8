"""What one cell says: plain text within its limits, one word of a few, an address, a length."""

import re
import unicodedata

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _

from hulls.intake.columns import Column
from hulls.models import Filler, HullKind, InsideVarnish, Priority
from hulls.tags import is_tag
from shop.sheets.problems import CellProblem
from shop.units import UnitError, parse_length
from shop.units.errors import quoted

MOST_CHARACTERS = {
    "tag": 16,
    "owner": 80,
    "email": 254,
    "phone": 40,
    "boat name": 60,
    "wood": 120,
    "fittings": 200,
    "notes": 4000,
}
OTHER_CHARACTERS = 60
HULL_KINDS = {
    HullKind.ALL_ROUND: ("all round", "all-round", "allround", "shallow arch"),
    HullKind.FLAT: ("flat", "flat bottom", "flat bottomed"),
    HullKind.ROUND: ("round", "round bottom", "round bottomed"),
    HullKind.RIVER: ("river", "much rocker"),
    HullKind.FREIGHTER: ("freighter", "freight"),
}
FILLERS = {
    Filler.LATEX: ("latex", "latex filler", "water based", "water"),
    Filler.OIL: ("oil", "oil filler", "oil based", "oil based filler"),
}
INSIDE_VARNISHES = {
    InsideVarnish.BEFORE: ("before", "before canvas", "before the canvas"),
    InsideVarnish.AFTER: ("after", "after canvas", "after the canvas"),
}
PRIORITIES = {
    Priority.LOW: ("low", "can wait"),
    Priority.NORMAL: ("normal", "as promised"),
    Priority.HIGH: ("high", "must be on time"),
}

_PHONE = re.compile(r"[0-9+(][0-9 ()/.+x-]*[0-9]", re.IGNORECASE)
# Control characters but tab and line feed, and the marks that turn the direction of writing: these can make a text show
# as another than it is.
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")


def read_text(field: str, raw: str) -> str:
    """Clean the text of a cell; only notes keep their line breaks.

    Parameters
    ----------
    field
        Which field it is, for the number of characters that it may have.
    raw
        The cell as the file has it. HTML and a leading ``=`` are text like any other.

    Returns
    -------
    str
        The text without spaces around it.

    Raises
    ------
    CellProblem
        It is too long or holds control characters.
    """
    text = unicodedata.normalize("NFC", raw.replace("\r\n", "\n").replace("\r", "\n")).strip()
    if _CONTROL.search(text):
        raise CellProblem(_("This holds a control character, which no keyboard writes. Type the text anew."))
    most = MOST_CHARACTERS.get(field, OTHER_CHARACTERS)
    if len(text) > most:
        raise CellProblem(
            _("This has %(count)d characters; %(most)d is the most.") % {"count": len(text), "most": most}
        )
    return text if field == "notes" else " ".join(text.split())


def read_tag(text: str) -> str:
    """Check a tag."""
    if not is_tag(text):
        raise CellProblem(
            _("%(typed)s is not a tag. Use letters, digits, dots, dashes and slashes.") % {"typed": quoted(text)}
        )
    return text


def read_email(text: str) -> str:
    """Check an e-mail address."""
    try:
        validate_email(text)
    except ValidationError:
        raise CellProblem(_("%(typed)s is not an e-mail address.") % {"typed": quoted(text)}) from None
    return text


def read_phone(text: str) -> str:
    """Check a telephone number: digits with the usual marks between them."""
    if not _PHONE.fullmatch(text):
        raise CellProblem(_("%(typed)s is not a telephone number.") % {"typed": quoted(text)})
    return text


def read_length(text: str, column: Column) -> float:
    """Read a length in metres; a bare number takes the unit that stands above the column."""
    try:
        return parse_length(text, default_unit=column.unit)
    except UnitError as problem:
        raise CellProblem(str(problem)) from None


def read_hull_type(text: str) -> HullKind:
    """Read which type of hull it is."""
    for kind, words in HULL_KINDS.items():
        if _plain(text) in (*words, _plain(str(kind.label))):
            return kind
    raise CellProblem(
        _("%(typed)s is not a type of hull. Write all-round, flat, round, river or freighter.")
        % {"typed": quoted(text)}
    )


def read_filler(text: str) -> Filler:
    """Read which filler goes into the weave."""
    for filler, words in FILLERS.items():
        if _plain(text) in words:
            return filler
    raise CellProblem(_("%(typed)s is not a filler. Write latex or oil.") % {"typed": quoted(text)})


def read_inside_varnish(text: str) -> InsideVarnish:
    """Read when the inside is varnished."""
    for when, words in INSIDE_VARNISHES.items():
        if _plain(text) in words:
            return when
    raise CellProblem(_("%(typed)s: the inside is varnished before or after the canvas.") % {"typed": quoted(text)})


def read_priority(text: str) -> Priority:
    """Read a priority by its word; a number would leave open which end is first."""
    for priority, words in PRIORITIES.items():
        if _plain(text) in words:
            return priority
    raise CellProblem(_("%(typed)s is not a priority. Write low, normal or high.") % {"typed": quoted(text)})


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())

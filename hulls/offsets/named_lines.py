"""The lines of a table as it was laid out for the loft: what each is called, and what is told of it."""

import re
from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _

from hulls.offsets.cells import read_name
from hulls.offsets.columns import UNITS
from shop.sheets.problems import CellProblem
from shop.units import LengthUnit

Tells = Literal["height", "half_breadth"]
Kind = Literal["waterline", "buttock", "sheer", "keel", "rabbet", "chine"]

_HALF_BREADTH = re.compile(r"\b(?:half[ -]?(?:breadths?|beams?|widths?)|h\.? ?b\.?(?= |$))")
_HEIGHT = re.compile(r"\b(?:heights?|hts?\.?(?= |$))")
_BESIDE = re.compile(
    r"\b(?:above (?:the )?base ?-?(?:line)?|from (?:the )?(?:centre|center)(?: ?line)?|of(?: the)?|line(?= |$))"
)
_SET = re.compile(r"(?P<word>w\.? ?l\.?|water ?-?lines?|b\.?|butt\.?|buttocks?)[ #]*(?P<at>[0-9].*)")
_NAMED: dict[str, Kind] = {
    "sheer": "sheer",
    "deck": "sheer",
    "gunwale": "sheer",
    "keel": "keel",
    "profile": "keel",
    "base of keel": "keel",
    "bottom": "keel",
    "rabbet": "rabbet",
    "chine": "chine",
    "knuckle": "chine",
}
_UNIT = re.compile(r"[(\[]\s*(?P<unit>[a-z]+)\.?\s*[)\]]|_(?P<bare>[a-z]+)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedLine:
    """One line of a hull, and which of its two numbers a row tells.

    Parameters
    ----------
    kind : str
        A waterline or a buttock, which is cut at `at_m`, or one that runs where it likes.
    tells : str
        The number that its cells hold.
    title : str
        As the table calls it.
    at_m : float or None
        Height of a waterline, half-breadth of a buttock, in metres.
    """

    kind: Kind
    tells: Tells
    title: str
    at_m: float | None = None


def tells_of(text: str) -> Tells | None:
    """What a heading says that its lines tell: heights or half-breadths."""
    plain = _plain(text)
    if _HALF_BREADTH.search(plain):
        return "half_breadth"
    return "height" if _HEIGHT.search(plain) else None


def is_heading(text: str) -> bool:
    """Whether a text is the heading of a group of lines and nothing else."""
    return tells_of(text) is not None and not _name(text)


def is_line(text: str) -> bool:
    """Whether a text is the name of a line."""
    name = _name(text)
    return name in _NAMED or _SET.fullmatch(name) is not None


def unit_of(text: str) -> LengthUnit | None:
    """The unit that stands in brackets behind a title, like `Station (mm)`."""
    match = _UNIT.search(_plain(text))
    return UNITS.get(match["unit"] or match["bare"]) if match else None


def line_of(title: str, heading: Tells | None, unit: LengthUnit | None) -> NamedLine:
    """Name a line.

    Parameters
    ----------
    title : str
        What stands beside its cells.
    heading : str or None
        What the heading above it says that it tells.
    unit : str or None
        Of the whole table, where one is named.

    Raises
    ------
    CellProblem
        Nobody knows such a line, or it is not said what of it is told.
    """
    name, tells = _name(title), tells_of(title) or heading
    if kind := _NAMED.get(name):
        if tells is None:
            raise CellProblem(_("Say whether these are heights or half-breadths."))
        return NamedLine(kind=kind, tells=tells, title=title)
    match = _SET.fullmatch(name)
    if match is None:
        raise CellProblem(_("Nobody knows this line here: sheer, keel, rabbet, chine, waterlines (WL 6 in), buttocks."))
    waterline = match["word"].startswith("w")
    if tells is not None and (tells == "half_breadth") != waterline:
        raise CellProblem(_("A waterline has half-breadths, a buttock heights."))
    at_m = read_name(match["at"], title, unit)
    if waterline:
        return NamedLine(kind="waterline", tells="half_breadth", title=title, at_m=at_m)
    return NamedLine(kind="buttock", tells="height", title=title, at_m=at_m)


def _plain(text: str) -> str:
    return " ".join(text.casefold().lstrip("\ufeff").split())


def _name(text: str) -> str:
    """A title without what it tells and where that is taken from."""
    for beside in (_HALF_BREADTH, _HEIGHT, _BESIDE):
        text = beside.sub(" ", _plain(text))
    return " ".join(text.strip(" ,;:–-").split())

"""Which column of a sheet is which, by the words that shops write above them."""

import csv
import re
from dataclasses import dataclass
from typing import get_args

from django.utils.translation import gettext as _

from shop.sheets.problems import SheetError
from shop.units import LengthUnit

DELIMITERS = (",", ";", "\t")
REQUIRED = ("tag", "owner", "length", "beam", "depth", "end depth")
LENGTHS = frozenset({"length", "beam", "depth", "end depth", "rocker"})
WORDS = {
    "tag": ("tag", "hull tag", "hull", "hull no", "hull number", "job", "job no", "job number", "number", "no", "id"),
    "owner": ("owner", "owner name", "owners name", "customer", "customer name", "client"),
    "email": ("email", "e mail", "mail", "email address", "e mail address", "owner email", "customer email"),
    "phone": ("phone", "phone no", "phone number", "telephone", "tel", "mobile", "cell", "owner phone"),
    "boat name": ("boat name", "name of the boat", "name of boat", "boat"),
    "length": ("length", "loa", "length over all", "length overall", "overall length"),
    "beam": ("beam", "max beam", "maximum beam", "greatest beam", "width"),
    "depth": ("depth", "depth amidships", "midship depth", "center depth", "centre depth", "depth at center"),
    "end depth": ("end depth", "depth at ends", "depth at the ends", "end height", "height at ends", "stem height"),
    "rocker": ("rocker", "rise of the keel", "keel rise"),
    "hull type": ("hull type", "type of hull", "form", "hull form"),
    "wood": ("wood", "woods", "wood species", "species", "timber", "planking"),
    "fittings": ("fittings", "hardware"),
    "filler": ("filler", "canvas filler"),
    "inside varnish": ("inside varnish", "interior varnish", "varnish inside"),
    "colour": ("colour", "color", "paint colour", "paint color", "enamel colour", "enamel color"),
    "old colour": (
        "old colour",
        "old color",
        "colour it came in",
        "color it came in",
        "present colour",
        "present color",
    ),
    "arrived": ("arrived", "arrival", "arrival date", "date arrived", "date in", "received"),
    "promised": ("promised", "promise", "promised date", "date promised", "promised for", "due", "due date"),
    "priority": ("priority",),
    "notes": ("notes", "note", "remarks", "comments"),
}

_FIELD_OF = {word: field for field, words in WORDS.items() for word in words}
_UNIT = re.compile(r"(?P<words>.*?)[\s_]*(?:[(\[]\s*(?P<inside>[a-z]+)\.?\s*[)\]]|[\s_,](?P<bare>[a-z]+)\.?)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column that is read: which field it holds, what the file calls it, and the unit named above it."""

    field: str
    title: str
    unit: LengthUnit | None = None


def delimiter_of(header: str) -> str:
    """Find what stands between the cells: comma, semicolon or tab, whichever yields the most known columns.

    Parameters
    ----------
    header
        The first line of the file.

    Returns
    -------
    str
        One of the three.
    """

    def known(delimiter: str) -> tuple[int, int]:
        titles = next(csv.reader([header], delimiter=delimiter), [])
        return sum(_column(title) is not None for title in titles), len(titles)

    return max(DELIMITERS, key=known)


def columns_of(titles: tuple[str, ...]) -> tuple[Column | None, ...]:
    """Name the columns of a sheet.

    Parameters
    ----------
    titles
        The cells of its header.

    Returns
    -------
    tuple of Column or None
        As many as there are titles; None for one that nobody knows.

    Raises
    ------
    SheetError
        A column that every hull needs is missing, or two columns say the same thing.
    """
    columns = tuple(_column(title) for title in titles)
    titles_of: dict[str, list[str]] = {}
    for column in filter(None, columns):
        titles_of.setdefault(column.field, []).append(column.title)
    for field, named in titles_of.items():
        if len(named) > 1:
            raise SheetError(
                _("More than one column holds the %(field)s: %(titles)s. Keep one of them.")
                % {"field": field, "titles": ", ".join(named)}
            )
    if missing := [field for field in REQUIRED if field not in titles_of]:
        raise SheetError(
            _("The first line names no column for: %(missing)s. It must name at least %(required)s.")
            % {"missing": ", ".join(missing), "required": ", ".join(REQUIRED)}
        )
    return columns


def _column(title: str) -> Column | None:
    plain = " ".join(title.casefold().split())
    if field := _FIELD_OF.get(_words(plain)):
        return Column(field=field, title=title)
    match = _UNIT.fullmatch(plain)
    if match is None:
        return None
    field, unit = _FIELD_OF.get(_words(match["words"])), match["inside"] or match["bare"]
    units: dict[str, LengthUnit] = {name: name for name in get_args(LengthUnit)}
    if field not in LENGTHS or unit not in units:
        return None
    return Column(field=field, title=title, unit=units[unit])


def _words(title: str) -> str:
    return " ".join(re.sub(r"[_\-.,/:*#’']+", " ", title).split())

"""Which column of a table of lines is which, and in what unit it is written."""

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from django.utils.translation import gettext as _

from shop.sheets.problems import SheetError
from shop.units import LengthUnit

DELIMITERS = ("\t", ";", ",")  # the comma last: it may stand within a number
WORDS = {
    "station": ("station", "x", "from end", "distance"),
    "height": ("height", "z", "above base", "height above base"),
    "half_breadth": ("half breadth", "halfbreadth", "half beam", "y"),
    "girth": ("girth",),
}
UNITS: dict[str, LengthUnit] = {name: name for name in get_args(LengthUnit)}

_FIELD_OF = {word: field for field, words in WORDS.items() for word in words}
_TITLE = re.compile(r"(?P<words>.+?)(?:[\s_]*[(\[]\s*(?P<inside>[a-z]+)\.?\s*[)\]]|[\s_](?P<bare>m|cm|mm|ft|in))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column that is read: which number it holds, what the table calls it, and the unit named above it."""

    field: str
    title: str
    unit: LengthUnit | None = None


def column_of(title: str) -> Column | None:
    """Name a column by its title; None for one that nobody knows."""
    plain = " ".join(title.casefold().lstrip("\ufeff").split())
    match = _TITLE.fullmatch(plain)
    if match is None:
        return None
    named = match["inside"] or match["bare"]
    field = _FIELD_OF.get(" ".join(re.sub(r"[_\-.]+", " ", match["words"]).split()))
    if field is None or (named and named not in UNITS):
        return None
    return Column(field=field, title=title.strip(), unit=UNITS[named] if named else None)


def delimiter_of(lines: Sequence[str]) -> str:
    """Find what stands between the cells: whichever yields the most known columns, else stands in the most lines."""

    def known(delimiter: str) -> tuple[int, int]:
        titles = next(csv.reader([lines[0]], delimiter=delimiter), [])
        return sum(column_of(title) is not None for title in titles), sum(delimiter in line for line in lines)

    return max(DELIMITERS, key=known)


def columns_of(titles: tuple[str, ...]) -> tuple[Column | None, ...]:
    """Name the columns of a table.

    Raises
    ------
    SheetError
        It is neither a table of offsets nor one of taped stations, or two columns say the same thing.
    """
    columns = tuple(column_of(title) for title in titles)
    fields = [column.field for column in columns if column is not None]
    if len(set(fields)) < len(fields):
        raise SheetError(_("Two columns hold the same thing. Keep one of them."))
    taped, offsets = "girth" in fields, "height" in fields
    if "station" not in fields or not (taped or "half_breadth" in fields) or (taped and offsets):
        raise SheetError(
            _(
                "The first line must name the columns: station, height, half-breadth for a table of offsets; station, "
                "girth, half-breadth for taped stations. With the unit, like station_m, or without for 1-2-3 and 14 in."
            )
        )
    return columns

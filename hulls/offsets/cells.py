"""What one cell of a table of lines says, in metres."""

import math
import re

from django.utils.translation import gettext as _

from hulls.offsets.columns import Column
from shop.sheets.problems import CellProblem
from shop.units import LengthUnit, UnitError, is_eighths, parse_eighths, parse_length
from shop.units.errors import quoted
from shop.units.registry import factor

PINT = {"m": "meter", "cm": "centimeter", "mm": "millimeter", "ft": "foot", "in": "inch"}
_MINUS = re.compile(r"\s*[-−]\s*(?=[0-9.,])")
_MARKED = re.compile(r"[a-z'\"′″’”]", re.IGNORECASE)


def read_cell(text: str, column: Column) -> float:
    """Read a length, which may lie below the base line or on the other side.

    Raises
    ------
    CellProblem
        It is no length, or is in another unit than its column.
    """
    if column.unit is not None and (number := _plain(text)) is not None:
        return number * float(factor(PINT[column.unit], "meter"))
    minus = _MINUS.match(text)
    size = _size(text[minus.end() :] if minus else text, column)
    return -size if minus else size


def read_name(text: str, title: str, unit: LengthUnit | None) -> float:
    """Read a length out of a name, which may have a unit of its own: a waterline, or a station by where it stands.

    Raises
    ------
    CellProblem
        It is no length.
    """
    own = is_eighths(text) or _MARKED.search(text)
    return read_cell(text, Column(field="name", title=title, unit=None if own else unit))


def _plain(text: str) -> float | None:
    """A number as a program writes it, with its exponent: 4.88, -0.5, 2.4e-17."""
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) and "_" not in text else None


def _size(text: str, column: Column) -> float:
    try:
        if is_eighths(text):
            if column.unit not in (None, "ft"):
                raise CellProblem(_mixed(text, column))
            return parse_eighths(text)
        if column.unit is not None and _MARKED.search(text) and not text.strip().casefold().endswith(column.unit):
            raise CellProblem(_mixed(text, column))
        return parse_length(text, default_unit=column.unit)
    except UnitError as problem:
        raise CellProblem(str(problem)) from None


def _mixed(text: str, column: Column) -> str:
    return _("%(typed)s is in another unit than its column, which is in %(unit)s: units are mixed.") % {
        "typed": quoted(text),
        "unit": column.unit,
    }

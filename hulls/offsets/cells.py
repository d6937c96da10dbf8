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
_DIGIT = re.compile(r"[0-9½¼¾⅛⅜⅝⅞]")
_COMMA = re.compile(r"[+-]?[0-9]*,[0-9]+(?:e[+-]?[0-9]+)?", re.IGNORECASE)
_GROUPED = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")  # a thousand's comma, or a decimal one: `parse_length` says so
_MARKED = re.compile(r"[a-z'\"′″’”]", re.IGNORECASE)


def read_cell(text: str, column: Column) -> float:
    """Read a length, which may lie below the base line or on the other side.

    Raises
    ------
    CellProblem
        It is no length, or is in another unit than its column.
    """
    if column.unit is not None and (number := _plain(text, column.unit)) is not None:
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


def _plain(text: str, unit: LengthUnit) -> float | None:
    """A number as a program writes it, with all its digits and its exponent: 4.88, -0.5, 2.4e-17, 0,3048000000001."""
    if _COMMA.fullmatch(text) and (unit == "m" or not _GROUPED.fullmatch(text)):
        text = text.replace(",", ".")
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) and "_" not in text else None


def _size(text: str, column: Column) -> float:
    try:
        if column.unit is not None:
            _check_unit(text, column.unit)
        return parse_eighths(text) if is_eighths(text) else parse_length(text, default_unit=column.unit)
    except UnitError as problem:
        raise CellProblem(str(problem)) from None


def _check_unit(text: str, unit: LengthUnit) -> None:
    """Refuse what is no number, and a length that names another unit than its column does."""
    if is_eighths(text):
        if unit != "ft":
            raise CellProblem(_mixed(text, unit))
        return
    own = "".join(filter(str.isalpha, text.casefold()))
    if not _DIGIT.search(text) or (_MARKED.search(text) and own != unit):
        raise CellProblem(_mixed(text, unit) if _is_length(text) else _no_number(text, unit))


def _is_length(text: str) -> bool:
    try:
        parse_length(text)
    except UnitError:
        return False
    return True


def _mixed(text: str, unit: LengthUnit) -> str:
    return _("%(typed)s is in another unit than its column, which is in %(unit)s: units are mixed.") % {
        "typed": quoted(text),
        "unit": unit,
    }


def _no_number(text: str, unit: LengthUnit) -> str:
    return _("%(typed)s is no number that can be read. This column holds lengths in %(unit)s.") % {
        "typed": quoted(text),
        "unit": unit,
    }

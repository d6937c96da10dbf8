"""Amounts of a product in the unit that it is counted in: litres, kilograms, square metres, metres or pieces."""

import re

from django.utils.translation import gettext as _

from shop.units.amount import format_mass, format_volume, parse_mass, parse_volume
from shop.units.area import format_area
from shop.units.errors import UnitError, quoted
from shop.units.length import format_length, parse_length
from shop.units.numbers import NUMBER, NumberProblem, read_number
from shop.units.registry import factor
from shop.units.system import UnitSystem
from shop.units.tidy import decimal, tidy

_COUNTED = re.compile(rf"(?P<number>{NUMBER})(?P<unit>[a-z]+[2²]?)?")
_AREAS = {"m2": "m2", "m²": "m2", "ft2": "ft2", "ft²": "ft2", "sqft": "ft2"}
_NOTHING = re.compile(r"0+([.,]0+)?")
_NAMES = {"m2": "m²"}
_PIECES = frozenset({"", "pc", "pcs", "pieces", "piece"})


def parse_quantity(text: str, unit: str) -> float:
    """Read an amount of what is counted in a unit.

    Parameters
    ----------
    text
        What was typed: ``350 mL``, ``2 lb``, ``17 ft 6 in``, ``27 ft2``, ``40``.
        Nothing, ``0``, needs no unit.
    unit
        "L", "kg", "m", "m2" or "pc": what the product is counted in. Pieces need no unit.

    Returns
    -------
    float
        The amount in that unit, zero or more.

    Raises
    ------
    UnitError
        It is no such amount, is negative, or can be read in two ways.
    """
    if _NOTHING.fullmatch(tidy(text)):
        return 0.0
    match unit:
        case "L":
            return parse_volume(text)
        case "kg":
            return parse_mass(text)
        case "m":
            return parse_length(text)
    plain = tidy(text)
    if plain.startswith("-"):
        raise UnitError(_("%(typed)s is negative; an amount is zero or more.") % {"typed": quoted(text)})
    found = _COUNTED.fullmatch(plain)
    written = (found["unit"] or "") if found else ""
    if found is None or written not in (_AREAS if unit == "m2" else _PIECES):
        hint = _("2.5 m2 or 27 ft2") if unit == "m2" else _("40")
        raise UnitError(
            _("%(typed)s is no such amount. Write it like %(hint)s.") % {"typed": quoted(text), "hint": hint}
        )
    try:
        number = float(read_number(found["number"]))
    except NumberProblem as problem:
        raise UnitError(f"{quoted(text)} {problem}.") from None
    return number * float(factor("foot**2", "meter**2")) if _AREAS.get(written) == "ft2" else number


def unit_name(unit: str) -> str:
    """Give a unit that something is counted in as people read it: ``m²`` for "m2"."""
    return _NAMES.get(unit, unit)


def format_quantity(value: float, unit: str, system: UnitSystem) -> str:
    """Show an amount of what is counted in a unit, in the shop's own units, such that `parse_quantity` reads it back.

    Parameters
    ----------
    value
        How much, in the unit, zero or more.
    unit
        "L", "kg", "m", "m2" or "pc".
    system
        The shop's units.
    """
    match unit:
        case "L":
            return format_volume(value, system)
        case "kg":
            return format_mass(value, system)
        case "m":
            return format_length(value, system)
        case "m2":
            return format_area(value, system)
    return _("%(n)s pc") % {"n": decimal(value, 0 if value == int(value) else 1)}

"""Lengths, as people write them and as the shop shows them."""

import math
import re
from fractions import Fraction
from typing import Literal

from django.utils.translation import gettext as _

from shop.units.errors import UnitError, quoted
from shop.units.numbers import NUMBER, NumberProblem, read_number
from shop.units.registry import factor
from shop.units.system import UnitSystem
from shop.units.tidy import decimal, rounded, tidy

LengthUnit = Literal["m", "cm", "mm", "ft", "in"]

# A US length under this many inches is shown in inches alone, as a beam or a depth is called out at the bench.
INCHES_ALONE = 60

_PINT: dict[LengthUnit, str] = {"m": "meter", "cm": "centimeter", "mm": "millimeter", "ft": "foot", "in": "inch"}
_WRITTEN: dict[str, LengthUnit] = {
    **dict.fromkeys(("m", "m.", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("cm", "cm.", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("mm", "mm.", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), "ft"),
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), "in"),
}
_SINGLE = re.compile(rf"(?P<number>{NUMBER})(?P<unit>['\"]|[a-z]+\.?)?")
_FEET_INCHES = re.compile(
    rf"(?P<feet>{NUMBER})(?:'|ft\.?|foot|feet)\s*[-,]?\s*(?P<inches>{NUMBER})(?:\"|inch(?:es)?|in\.?)?"
)


def parse_length(text: str, *, default_unit: LengthUnit | None = None) -> float:
    """Read a length as people write it: ``16' 2 1/2"``, ``16 ft 2 in``, ``4,9 m``, ``490 cm``, ``34½"``.

    Parameters
    ----------
    text
        What was typed.
    default_unit
        The unit of a bare number; without it a bare number is refused.

    Returns
    -------
    float
        The length in metres, zero or more.

    Raises
    ------
    UnitError
        It is no length, is negative, or can be read in two ways. The foot is 0.3048 m and the inch 25.4 mm,
        exactly (international yard and pound agreement, 1959).
    """
    plain = tidy(text)
    if plain.startswith("-"):
        raise UnitError(_("%(typed)s is negative; a length is zero or more.") % {"typed": quoted(text)})
    try:
        if match := _FEET_INCHES.fullmatch(plain):
            return float(_feet_and_inches(match["feet"], match["inches"]))
        if match := _SINGLE.fullmatch(plain):
            return float(_single(match["number"], match["unit"], default_unit))
        raise NumberProblem(_("is not a length"))
    except NumberProblem as problem:
        raise UnitError(
            _("%(typed)s %(problem)s. Write it like 16' 2\", 4.9 m or 34 1/2 in.")
            % {"typed": quoted(text), "problem": problem}
        ) from None


def _feet_and_inches(feet_text: str, inches_text: str) -> Fraction:
    feet, inches = read_number(feet_text), read_number(inches_text)
    if feet.denominator != 1:
        raise NumberProblem(_("has a part of a foot and inches too"))
    if inches >= 12:
        raise NumberProblem(_("has a foot or more of inches after the feet"))
    return feet * factor("foot", "meter") + inches * factor("inch", "meter")


def _single(number: str, written: str | None, default_unit: LengthUnit | None) -> Fraction:
    unit = _WRITTEN.get(written) if written else default_unit
    if unit is None and written:
        raise NumberProblem(_("is not a length"))
    value = read_number(number, comma_is_decimal=unit == "m")
    if unit is None:
        raise NumberProblem(_("has no unit"))
    return value * factor(_PINT[unit], "meter")


def format_length(length_m: float, system: UnitSystem, *, parts_of_inch: Literal[8, 16] = 16) -> str:
    """Show a length as the shop reads it: ``4.88 m`` and ``87.6 cm``, or ``16 ft 2 in`` and ``34 1/2 in``.

    Parameters
    ----------
    length_m
        The length in metres, zero or more.
    system
        The shop's units.
    parts_of_inch
        The finest part of an inch to show, in US units.

    Returns
    -------
    str
        The length, such that `parse_length` reads it back.

    Raises
    ------
    UnitError
        The length is negative or not finite.
    """
    if not math.isfinite(length_m) or length_m < 0:
        raise UnitError(_("A length is zero or more."))
    if system is UnitSystem.US:
        return _us_length(length_m, parts_of_inch)
    centimetres = rounded(length_m * 100, 1)
    return f"{decimal(length_m * 100, 1)} cm" if float(centimetres) < 100 else f"{decimal(length_m, 2)} m"


def _us_length(length_m: float, parts_of_inch: int) -> str:
    parts = round(Fraction(length_m) / factor("inch", "meter") * parts_of_inch)
    inches = Fraction(parts, parts_of_inch)
    if inches < INCHES_ALONE:
        return f"{_mixed(inches)} in"
    feet, rest = divmod(inches, 12)
    return f"{feet} ft {_mixed(rest)} in" if rest else f"{feet} ft"


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)

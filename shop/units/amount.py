"""Amounts of paint, oil and filler: volumes and masses, as people write them and as the shop shows them."""

import math
import re
from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _

from shop.units.errors import UnitError, quoted
from shop.units.numbers import NUMBER, NumberProblem, read_number
from shop.units.registry import factor
from shop.units.system import UnitSystem
from shop.units.tidy import decimal, rounded, tidy

Measure = Literal["volume", "mass"]

_BASE: dict[Measure, str] = {"volume": "liter", "mass": "kilogram"}
# The US liquid measures (the gallon of 231 cubic inches). A bare "oz" is the avoirdupois ounce, a mass; see `fl oz`.
_UNITS: dict[str, tuple[Measure, str]] = {
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), ("volume", "liter")),
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"), ("volume", "milliliter")),
    **dict.fromkeys(("gal", "us gal", "gallon", "gallons", "us gallon", "us gallons"), ("volume", "gallon")),
    **dict.fromkeys(("qt", "qts", "us qt", "quart", "quarts"), ("volume", "quart")),
    **dict.fromkeys(("pt", "pts", "us pt", "pint", "pints"), ("volume", "pint")),
    **dict.fromkeys(("fl oz", "floz", "us fl oz", "fluid ounce", "fluid ounces"), ("volume", "fluid_ounce")),
    **dict.fromkeys(("g", "gram", "grams", "gramme", "grammes"), ("mass", "gram")),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), ("mass", "kilogram")),
    **dict.fromkeys(("oz", "ounce", "ounces"), ("mass", "ounce")),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), ("mass", "pound")),
}
_WRITTEN = re.compile(rf"(?P<number>{NUMBER})(?P<unit>[a-z][a-z. ]*)?")
_HINT: dict[Measure, str] = {"volume": "250 mL, 1 qt or 8 fl oz", "mass": "500 g or 2 lb"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """How much of something there is.

    Parameters
    ----------
    measure
        Whether it was measured by volume or by mass.
    value
        Litres or kilograms, zero or more.

    Raises
    ------
    UnitError
        The value is negative or not finite.
    """

    measure: Measure
    value: float

    def __post_init__(self) -> None:
        if not math.isfinite(self.value) or self.value < 0:
            raise UnitError(_("An amount is zero or more."))


def parse_amount(text: str, *, default_unit: str | None = None) -> Amount:
    """Read a volume or a mass: ``250 mL``, ``1,5 L``, ``1 1/2 qt``, ``8 fl oz``, ``2 lb``.

    Parameters
    ----------
    text
        What was typed.
    default_unit
        The unit of a bare number, as written ("mL", "qt"); without it a bare number is refused.

    Returns
    -------
    Amount
        Litres or kilograms. Gallon, quart, pint and fluid ounce are the US liquid measures.

    Raises
    ------
    UnitError
        It is no amount, is negative, or can be read in two ways.
    """
    plain = tidy(text)
    if plain.startswith("-"):
        raise UnitError(_("%(typed)s is negative; an amount is zero or more.") % {"typed": quoted(text)})
    try:
        return _amount(plain, default_unit)
    except NumberProblem as problem:
        hint = ", ".join(_HINT.values())
        raise UnitError(
            _("%(typed)s %(problem)s. Write it like %(hint)s.")
            % {"typed": quoted(text), "problem": problem, "hint": hint}
        ) from None


def _amount(plain: str, default_unit: str | None) -> Amount:
    match = _WRITTEN.fullmatch(plain)
    if match is None:
        raise NumberProblem(_("is not an amount"))
    written = match["unit"] or (default_unit or "").casefold()
    if not written:
        raise NumberProblem(_("has no unit"))
    unit = _UNITS.get(" ".join(written.replace(".", " ").split()))
    if unit is None:
        raise NumberProblem(_("is not an amount"))
    measure, pint_name = unit
    return Amount(measure=measure, value=float(read_number(match["number"]) * factor(pint_name, _BASE[measure])))


def parse_volume(text: str, *, default_unit: str | None = None) -> float:
    """Read a volume; as `parse_amount`, but a mass is refused.

    Parameters
    ----------
    text
        What was typed.
    default_unit
        The unit of a bare number.

    Returns
    -------
    float
        Litres.

    Raises
    ------
    UnitError
        It is no volume. ``8 oz`` is a mass: a volume is written ``8 fl oz``.
    """
    return _only("volume", text, default_unit)


def parse_mass(text: str, *, default_unit: str | None = None) -> float:
    """Read a mass; as `parse_amount`, but a volume is refused.

    Parameters
    ----------
    text
        What was typed.
    default_unit
        The unit of a bare number.

    Returns
    -------
    float
        Kilograms.

    Raises
    ------
    UnitError
        It is no mass.
    """
    return _only("mass", text, default_unit)


def _only(measure: Measure, text: str, default_unit: str | None) -> float:
    amount = parse_amount(text, default_unit=default_unit)
    if amount.measure == measure:
        return amount.value
    sentence = {
        "volume": _("%(typed)s is a mass, and a volume is wanted. Write it like %(hint)s."),
        "mass": _("%(typed)s is a volume, and a mass is wanted. Write it like %(hint)s."),
    }[measure]
    raise UnitError(sentence % {"typed": quoted(text), "hint": _HINT[measure]})


def format_volume(volume_l: float, system: UnitSystem) -> str:
    """Show a volume as the shop reads it: ``1.50 L`` and ``250 mL``, or gallons, quarts and fluid ounces.

    Parameters
    ----------
    volume_l
        Litres, zero or more.
    system
        The shop's units.

    Returns
    -------
    str
        The volume, such that `parse_volume` reads it back.

    Raises
    ------
    UnitError
        The volume is negative or not finite.
    """
    litres = Amount(measure="volume", value=volume_l).value
    if system is UnitSystem.METRIC:
        return _largest(litres * 1000, ((1000, "L", 2), (1, "mL", 0)))
    return _largest(litres / float(factor("fluid_ounce", "liter")), ((128, "gal", 2), (32, "qt", 2), (1, "fl oz", 1)))


def format_mass(mass_kg: float, system: UnitSystem) -> str:
    """Show a mass as the shop reads it: ``1.50 kg`` and ``250 g``, or ``2.25 lb`` and ``4.0 oz``.

    Parameters
    ----------
    mass_kg
        Kilograms, zero or more.
    system
        The shop's units.

    Returns
    -------
    str
        The mass, such that `parse_mass` reads it back.

    Raises
    ------
    UnitError
        The mass is negative or not finite.
    """
    kilograms = Amount(measure="mass", value=mass_kg).value
    if system is UnitSystem.METRIC:
        return _largest(kilograms * 1000, ((1000, "kg", 2), (1, "g", 0)))
    return _largest(kilograms / float(factor("ounce", "kilogram")), ((16, "lb", 2), (1, "oz", 1)))


def _largest(small: float, units: tuple[tuple[int, str, int], ...]) -> str:
    # The comparison is on the shown figure of the smallest unit, so that 999.6 mL becomes 1.00 L and not 1000 mL.
    shown = float(rounded(small, units[-1][2]))
    size, name, places = next((unit for unit in units if shown >= unit[0]), units[-1])
    return f"{decimal(small / size, places)} {name}"

"""Temperatures, as people write them and as the shop shows them."""

import math
import re

from django.utils.translation import gettext as _

from shop.units.errors import UnitError, quoted
from shop.units.registry import convert
from shop.units.system import UnitSystem
from shop.units.tidy import decimal, tidy

ABSOLUTE_ZERO_C = -273.15

_WRITTEN = re.compile(
    r"(?P<value>[-+]? ?(?:[0-9]{1,6}(?:[.,][0-9]{1,6})?|[.,][0-9]{1,6})) ?(?:°|deg\.?|degrees?)? ?"
    r"(?P<unit>c|celsius|f|fahrenheit)?"
)


def parse_temperature(text: str, system: UnitSystem) -> float:
    """Read a temperature as people write it: ``12C``, ``54 °F``, ``-5``, ``12,5 °C``.

    Parameters
    ----------
    text
        What was typed.
    system
        The shop's units, which a bare number is in.

    Returns
    -------
    float
        The temperature in degrees Celsius.

    Raises
    ------
    UnitError
        It is no temperature, or lies below absolute zero.
    """
    match = _WRITTEN.fullmatch(tidy(text))
    if match is None:
        raise UnitError(_("%(typed)s is not a temperature. Write it like 12 °C or 54 °F.") % {"typed": quoted(text)})
    value = float(match["value"].replace(" ", "").replace(",", "."))
    letter = match["unit"][0] if match["unit"] else ("f" if system is UnitSystem.US else "c")
    air_c = convert(value, "degF", "degC") if letter == "f" else value
    if air_c < ABSOLUTE_ZERO_C:
        raise UnitError(_("%(typed)s is colder than absolute zero.") % {"typed": quoted(text)})
    return air_c


def format_temperature(temperature_c: float, system: UnitSystem) -> str:
    """Show a temperature as the shop reads it: ``12.0 °C`` or ``54 °F``.

    Parameters
    ----------
    temperature_c
        The temperature in degrees Celsius.
    system
        The shop's units.

    Returns
    -------
    str
        To a tenth of a degree Celsius, or to a degree Fahrenheit.

    Raises
    ------
    UnitError
        The temperature is not finite.
    """
    if not math.isfinite(temperature_c):
        raise UnitError(_("A temperature is a number of degrees."))
    if system is UnitSystem.US:
        return f"{decimal(convert(temperature_c, 'degC', 'degF'), 0)} °F"
    return f"{decimal(temperature_c, 1)} °C"

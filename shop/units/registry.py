"""The door to pint: exact conversion factors, looked up once."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pint import UnitRegistry


@cache
def _registry() -> UnitRegistry[Fraction]:
    # pint takes half a second to import and set up, so it waits for the first conversion.
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction)


@cache
def factor(source: str, target: str) -> Fraction:
    """Give the exact factor between two units without an offset.

    Parameters
    ----------
    source, target
        Units by pint's names ("foot", "meter**2/liter").

    Returns
    -------
    Fraction
        How many `target` one `source` is.

    Raises
    ------
    pint.DimensionalityError
        The two do not measure the same thing.
    """
    return Fraction(_registry().convert(Fraction(1), source, target))


def convert(value: float, source: str, target: str) -> float:
    """Convert a number between two units, those with an offset (temperatures) included.

    Parameters
    ----------
    value
        The number, in `source`.
    source, target
        Units by pint's names; beware that `mil` is an angle there and a thousandth of an inch is `thou`.

    Returns
    -------
    float
        The number in `target`.

    Raises
    ------
    pint.DimensionalityError
        The two do not measure the same thing.
    """
    return float(_registry().convert(Fraction(value), source, target))

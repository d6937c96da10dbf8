"""Read a plain number as a person writes it: 16, 4.9, 4,9, 1/2, 34 1/2, 34-1/2."""

import re
from fractions import Fraction

from django.utils.translation import gettext as _

# Loose on purpose: it marks where a number stands, and `read_number` then says what is wrong with it.
NUMBER = r"(?:[0-9]|[.,][0-9])[0-9.,/ -]*"

_DECIMAL = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,9})?|[.,][0-9]{1,9}")
_FRACTION = re.compile(r"(?:([0-9]{1,9})(?: ?- ?| +))?([0-9]{1,9}) ?/ ?([0-9]{1,9})")
_GROUPED = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_PAIR = re.compile(r"[0-9.,]+ ?[- ] ?[0-9.,]+")


class NumberProblem(ValueError):
    """Why a number cannot be read; its message ends a sentence that begins with what was typed."""


def read_number(text: str, *, comma_is_decimal: bool = False) -> Fraction:
    """Read a number exactly.

    Parameters
    ----------
    text
        A number in plain characters, after `tidy`.
    comma_is_decimal
        Whether ``4,877`` is surely 4.877; elsewhere it could be 4877 and is refused.

    Returns
    -------
    Fraction
        Its value, zero or more.

    Raises
    ------
    NumberProblem
        It is no number, or can be read in two ways.
    """
    text = text.strip()
    if _GROUPED.fullmatch(text) and not comma_is_decimal:
        raise NumberProblem(_("can be read in two ways: leave out the comma, or write a point for the decimals"))
    if _DECIMAL.fullmatch(text):
        return Fraction(text.replace(",", "."))
    if match := _FRACTION.fullmatch(text):
        return _fraction(match[1], int(match[2]), int(match[3]))
    if _PAIR.fullmatch(text):
        raise NumberProblem(_("can be read in two ways: name the unit after each number"))
    raise NumberProblem(_("holds no number that can be read"))


def _fraction(whole: str | None, top: int, bottom: int) -> Fraction:
    if bottom == 0:
        raise NumberProblem(_("divides by zero"))
    if whole is not None and top >= bottom:
        raise NumberProblem(_("has a fraction that is not under one"))
    return int(whole or 0) + Fraction(top, bottom)

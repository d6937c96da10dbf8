"""Feet, inches and eighths, as boatbuilders write a table of offsets: ``1-2-3``, ``1-2-3+``, ``0-11-7-``."""

import re
from fractions import Fraction

from django.utils.translation import gettext as _

from shop.units.errors import UnitError, quoted
from shop.units.registry import factor
from shop.units.tidy import tidy

_EIGHTHS = re.compile(r"(?P<feet>[0-9]{1,3})-(?P<inches>[0-9]{1,2})-(?P<eighths>[0-9])(?P<mark>[+-]?)")
_MARKS = {"": 0, "+": 1, "-": -1}  # a sixteenth more or less: common practice, no published source


def is_eighths(text: str) -> bool:
    """Whether something is written as feet, inches and eighths."""
    return bool(text.strip()) and _EIGHTHS.fullmatch(tidy(text)) is not None


def parse_eighths(text: str) -> float:
    """Read feet, inches and eighths of an inch.

    Parameters
    ----------
    text
        What was typed: ``1-2-3`` is 1 ft 2 3/8 in; a plus after it is a sixteenth of an inch more, a minus one less.

    Returns
    -------
    float
        Metres, zero or more.

    Raises
    ------
    UnitError
        It is not written so, or has a foot of inches, an inch of eighths, or less than nothing.
    """
    match = _EIGHTHS.fullmatch(tidy(text))
    if match is None:
        raise UnitError(
            _("%(typed)s is not feet, inches and eighths. Write it like 1-2-3 or 1-2-3+.") % {"typed": quoted(text)}
        )
    feet, inches, eighths = (int(match[name]) for name in ("feet", "inches", "eighths"))
    if inches >= 12 or eighths >= 8:
        raise UnitError(_("%(typed)s has a foot or more of inches, or an inch of eighths.") % {"typed": quoted(text)})
    total = 12 * feet + inches + Fraction(eighths, 8) + Fraction(_MARKS[match["mark"]], 16)
    if total < 0:
        raise UnitError(_("%(typed)s is less than nothing.") % {"typed": quoted(text)})
    return float(total * factor("inch", "meter"))

"""Dates in a sheet: ISO 8601, or day, month and year in an order that the person names."""

import re
from datetime import date
from enum import StrEnum

from django.utils.translation import gettext as _

from shop.sheets.problems import CellProblem
from shop.units.errors import quoted

YEARS = range(1950, 2101)

_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_PARTS = re.compile(r"([0-9]{1,4}) ?([./-]) ?([0-9]{1,2}) ?\2 ?([0-9]{1,4})")


class DateOrder(StrEnum):
    """In which order a date names its day, month and year."""

    DMY = "dmy"
    MDY = "mdy"
    YMD = "ymd"


def read_date(text: str, order: DateOrder | None) -> date:
    """Read one date.

    Parameters
    ----------
    text
        What the cell says. An ISO date (2026-05-03) is read whatever the order.
    order
        The order of dates with dots, slashes or dashes; None reads ISO dates only.

    Returns
    -------
    date
        The day, in a year from 1950 to 2100.

    Raises
    ------
    CellProblem
        It is no date, or has a year of two digits.
    """
    if match := _ISO.fullmatch(text):
        return _day(text, int(match[1]), int(match[2]), int(match[3]))
    match = _PARTS.fullmatch(text)
    if match is None:
        raise CellProblem(_("%(typed)s is not a date. Write it like 2026-05-03.") % {"typed": quoted(text)})
    if order is None:
        raise CellProblem(
            _("%(typed)s can be read in more than one way. Write it like 2026-05-03, or name the order of the dates.")
            % {"typed": quoted(text)}
        )
    parts = dict(zip(order.value, (match[1], match[3], match[4]), strict=True))
    _check_year(text, parts, order)
    return _day(text, int(parts["y"]), int(parts["m"]), int(parts["d"]))


def _check_year(text: str, parts: dict[str, str], order: DateOrder) -> None:
    if max(len(part) for part in parts.values()) < 4:
        raise CellProblem(_("%(typed)s has no year of four digits.") % {"typed": quoted(text)})
    if len(parts["y"]) != 4:
        raise CellProblem(
            _("%(typed)s does not have its year where the order %(order)s puts it.")
            % {"typed": quoted(text), "order": order.value}
        )


def _day(text: str, year: int, month: int, day: int) -> date:
    if year not in YEARS:
        raise CellProblem(_("%(typed)s has a year that cannot be meant.") % {"typed": quoted(text)})
    try:
        return date(year, month, day)
    except ValueError:
        raise CellProblem(_("%(typed)s is not a day of the calendar.") % {"typed": quoted(text)}) from None

"""Time stamps as loggers write them: ISO 8601, day and month in a named order, twelve hours, seconds since 1970."""

import re
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.utils.translation import gettext as _

from shop.readings.sample import ReadingError, moment_of
from shop.sheets.dates import YEARS, DateOrder, read_date
from shop.sheets.problems import CellProblem
from shop.units.errors import quoted

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:[.,][0-9]{1,6})?)?")
_SECONDS = re.compile(r"[0-9]{9,13}(?:\.[0-9]{1,6})?")
_OFFSET = r"(?:(?:utc|gmt)? ?[-+][0-9]{1,2}(?::?[0-9]{2})?|utc|gmt|z)"
_STAMP = re.compile(
    r"(?P<day>[^:]+?)[T ,]+(?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})"
    r"(?::(?P<second>[0-9]{2})(?:[.,](?P<part>[0-9]{1,6}))?)?"
    rf"(?: ?(?P<half>[ap])\.?m\.?)?(?: ?(?P<offset>{_OFFSET}))?",
    re.IGNORECASE,
)
_SHORT_YEAR = re.compile(r"([0-9]{1,2})( ?[./-] ?)([0-9]{1,2})\2([0-9]{1,2})")
_NAMED_MONTH = re.compile(r"([0-9]{1,2})[. -]+([a-z]{3,9})[., -]+([0-9]{4}|[0-9]{2})", re.IGNORECASE)
_ZONE = re.compile(r"(?:utc|gmt|z)?(?:([-+])([0-9]{1,2})(?::?([0-9]{2}))?)?", re.IGNORECASE)


def read_stamp(text: str, order: DateOrder | None) -> datetime:
    """Read a time stamp.

    Parameters
    ----------
    text : str
        The cell, or the cells of date and time with a space between.
    order : DateOrder or None
        The order of day, month and year where the stamp is not ISO 8601; a year of two digits is of this century.

    Returns
    -------
    datetime
        Aware where the stamp says its offset, otherwise naive: what the logger's clock showed.

    Raises
    ------
    CellProblem
        It is no time stamp, or can be read in more than one way.
    """
    plain = " ".join(text.split())
    if _ISO.fullmatch(plain):
        return _iso(plain)
    if _SECONDS.fullmatch(plain):
        return _since_1970(plain)
    match = _STAMP.fullmatch(plain)
    if match is None:
        words = _("%(typed)s is not a moment. Write it like 2026-05-03 14:05.")
        raise CellProblem(words % {"typed": quoted(text)})
    seconds = int(match["second"] or 0)
    hour, minute = _hour(match, text), int(match["minute"])
    if hour > 24 or minute > 59 or seconds > 59 or (hour == 24 and (minute or seconds)):
        raise CellProblem(_("%(typed)s has no time of the day.") % {"typed": quoted(text)})
    stamp = datetime.combine(_day(match["day"].strip(), order), datetime.min.time()) + timedelta(
        hours=hour, minutes=minute, seconds=seconds, microseconds=int((match["part"] or "0").ljust(6, "0"))
    )
    return stamp if match["offset"] is None else stamp.replace(tzinfo=fixed_zone(match["offset"]))


def _iso(plain: str) -> datetime:
    try:
        stamp = datetime.fromisoformat(plain)
    except ValueError:
        words = _("%(typed)s is not a moment of the calendar.")
        raise CellProblem(words % {"typed": quoted(plain)}) from None
    if stamp.year not in YEARS:  # the ends of the calendar cannot be turned into every zone
        raise CellProblem(_("%(typed)s has a year that cannot be meant.") % {"typed": quoted(plain)})
    return stamp


def _since_1970(plain: str) -> datetime:
    try:
        return moment_of(float(plain))
    except ReadingError as error:
        raise CellProblem(error.message) from None


def _hour(match: "re.Match[str]", text: str) -> int:
    hour = int(match["hour"])
    if match["half"] is None:
        return hour
    if not 1 <= hour <= 12:
        raise CellProblem(_("%(typed)s: before and after noon the hours run from 1 to 12.") % {"typed": quoted(text)})
    return hour % 12 + (12 if match["half"].casefold() == "p" else 0)


def _day(text: str, order: DateOrder | None) -> date:
    if match := _NAMED_MONTH.fullmatch(text):
        month = match[2][:3].casefold()
        if month in MONTHS:
            year = match[3] if len(match[3]) == 4 else f"20{match[3]}"
            return read_date(f"{year}-{MONTHS.index(month) + 1:02d}-{int(match[1]):02d}", order)
    if order is not None and (match := _SHORT_YEAR.fullmatch(text)):
        parts = dict(zip(order.value, (match[1], match[3], match[4]), strict=True))
        return read_date(f"20{parts['y']:0>2}-{parts['m']:0>2}-{parts['d']:0>2}", order)
    return read_date(text, order)


def zone_named(name: str) -> tzinfo:
    """Find a time zone by its name (Europe/Paris) or as a fixed offset (UTC+01:00, -5).

    Raises
    ------
    ValueError
        There is no such zone.
    """
    if name.strip() and _ZONE.fullmatch("".join(name.split())):
        return fixed_zone(name)
    try:
        return ZoneInfo(name.strip())
    except (ZoneInfoNotFoundError, ValueError, OSError):
        words = _("%(typed)s is not a time zone. Write it like Europe/Paris, or UTC+01:00.")
        raise ValueError(words % {"typed": quoted(name)}) from None


def fixed_zone(text: str) -> tzinfo:
    """Read an offset such as ``+01:00``, ``GMT-5``, ``UTC`` or ``Z``.

    Raises
    ------
    CellProblem
        It is further from UTC than any clock.
    """
    match = _ZONE.fullmatch("".join(text.split()))
    if match is None or match[2] is None:
        return UTC
    offset = timedelta(hours=int(match[2]), minutes=int(match[3] or 0))
    if offset > timedelta(hours=14):
        raise CellProblem(_("%(typed)s is further from UTC than any clock.") % {"typed": quoted(text)})
    return timezone(-offset if match[1] == "-" else offset)

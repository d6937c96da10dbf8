"""Reading what was typed after a command: temperatures, hours, moments; and a readable table of what came out."""

import json
import re
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable, Mapping
from datetime import datetime, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.utils.translation import gettext as _

from shop.units import UnitError, UnitSystem, parse_temperature

_HOURS = re.compile(r"\s*([0-9]+(?:\.[0-9]+)?)\s*h?\s*")


def let_numbers_be_negative(parser: ArgumentParser) -> None:
    """Make the parser take ``-5C`` after an option as its value, as it does ``-5``."""
    parser._negative_number_matcher = re.compile(r"-[0-9.]")


def temperature(text: str) -> float:
    """Read ``16C``, ``61 °F`` or a bare number of degrees Celsius."""
    try:
        return parse_temperature(text, UnitSystem.METRIC)
    except UnitError as error:
        raise ArgumentTypeError(str(error)) from error


def hours(text: str) -> float:
    """Read ``16`` or ``16h``."""
    match = _HOURS.fullmatch(text)
    if match is None:
        raise ArgumentTypeError(_("%(typed)s is not a number of hours, like 16h.") % {"typed": text})
    return float(match[1])


def drying_table(text: str) -> tuple[tuple[float, float], ...]:
    """Read ``10C:36h,23C:16h`` into pairs of °C and hours."""
    pairs = [pair.partition(":") for pair in text.split(",")]
    return tuple((temperature(celsius), hours(lasting)) for celsius, _colon, lasting in pairs)


def zone(text: str) -> tzinfo:
    """Read the name of a time zone."""
    try:
        return ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise ArgumentTypeError(_("%(typed)s is not a time zone, like Europe/Berlin.") % {"typed": text}) from error


def stamp(text: str) -> datetime:
    """Read a moment in ISO 8601 as it is written: aware where it says its offset, otherwise naive.

    Raises
    ------
    ValueError
        It is no moment.
    """
    try:
        return datetime.fromisoformat(text.strip())
    except ValueError as error:
        words = _("%(typed)s is not a moment, like 2026-03-01T08:30 or 2026-03-01T08:30+01:00.")
        raise ValueError(words % {"typed": text}) from error


def moment(text: str, written_in: tzinfo) -> datetime:
    """Read a moment in ISO 8601; without an offset it is in the zone that the clock on the wall shows.

    In the hour that comes twice in autumn it is the first pass; write the offset to name the second.

    Raises
    ------
    ValueError
        It is no moment.
    """
    read = stamp(text)
    return read if read.tzinfo is not None else read.replace(tzinfo=written_in)


def shown(found: Mapping[str, object], words: Mapping[str, str], *, as_json: bool) -> str:
    """Give what was found as JSON, or as a table with a line for each of the words.

    Parameters
    ----------
    found : mapping
        By name.
    words : mapping
        What a person calls each of them.
    as_json : bool
        Give JSON.

    Returns
    -------
    str
        The text.
    """
    if as_json:
        return json.dumps(found)
    width = max(len(word) for word in words.values())
    return "\n".join(f"{word:<{width}}  {_plain(found[name])}" for name, word in words.items())


def _plain(value: object) -> str:
    says: Mapping[type, Callable[[object], str]] = {
        bool: lambda it: _("yes") if it else _("no"),
        float: lambda it: f"{it:.2f}",
        type(None): lambda _it: _("not in this air"),
    }
    return says.get(type(value), str)(value)

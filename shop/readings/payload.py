"""What a sensor sends over HTTP, read item by item: a bad one is refused with its reason, the others stand."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from shop.readings.sample import DECIMALS, Rain, ReadingError, Sample, celsius, check_moment, moment_of

MOST_ITEMS = 1000
MOST_BYTES = 512 * 1024
LONGEST_AGO = timedelta(days=400)
LONGEST_VALUE = 40


class PayloadError(ValueError):
    """A body of which nothing can be read; its message is a sentence."""


class TooManyError(PayloadError):
    """A list that is longer than one request may bring."""


class TooLargeError(PayloadError):
    """A body of more bytes than one request may bring."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """One item as it was sent: air, rain, or both."""

    index: int
    air: Sample | None
    rain: Rain | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why an item is not taken: which field of it, and the reason in a sentence."""

    index: int
    field: str
    reason: str


def items_of(body: bytes) -> list[object]:
    """Read a body: one object, or a list of them.

    Raises
    ------
    PayloadError
        It is no JSON, or neither of the two.
    TooManyError
        It has more than `MOST_ITEMS` items.
    """
    try:
        read = json.loads(body)
    except (ValueError, RecursionError):
        raise PayloadError(_("The body is not JSON in UTF-8.")) from None
    if isinstance(read, dict):
        return [read]
    if not isinstance(read, list):
        raise PayloadError(_("The body is neither an object nor a list of them."))
    if len(read) > MOST_ITEMS:
        words = _("%(count)d readings at once; %(most)d is the most. Send them in parts.")
        raise TooManyError(words % {"count": len(read), "most": MOST_ITEMS})
    return read


def numbers_of(query: Mapping[str, str]) -> dict[str, object]:
    """Give the fields of a query string as JSON would have them: numbers where they look like numbers."""
    fields = {name: _number_or_text(text.strip()) for name, text in query.items()}
    if isinstance(at := fields.get("at"), str):
        fields["at"] = at.replace(" ", "+")  # a plus sign that the device did not escape
    return fields


def _number_or_text(text: str) -> object:
    try:
        return float(text) if len(text) <= LONGEST_VALUE else text
    except ValueError:
        return text


def read_items(items: list[object], now: datetime) -> tuple[list[Sent], list[Refused]]:
    """Read items, the good ones and the others.

    Parameters
    ----------
    items : list
        What JSON gave.
    now : datetime
        The moment of arrival, which an item without a moment takes.
    """
    sent, refused = [], []
    for index, item in enumerate(items):
        try:
            sent.append(_read(index, item, now))
        except ReadingError as error:
            refused.append(Refused(index=index, field=error.field, reason=error.message))
    return sent, refused


def _read(index: int, item: object, now: datetime) -> Sent:
    if not isinstance(item, dict):
        raise ReadingError("", _("This is not an object."))
    at = _moment(item, now)
    check_moment(at, now, LONGEST_AGO)
    rain_mm, air = _number(item, "rain_mm"), _air(item, at)
    if air is None and rain_mm is None:
        raise ReadingError("", _("There is neither temperature and humidity in it nor rain."))
    return Sent(index=index, air=air, rain=None if rain_mm is None else Rain(at=at, rain_mm=rain_mm))


def _air(item: dict[str, object], at: datetime) -> Sample | None:
    air_c, rh_pct, surface_c = _celsius(item, "temp"), _number(item, "rh_pct"), _celsius(item, "surface")
    if air_c is None and rh_pct is None and surface_c is None:
        return None
    if air_c is None:
        raise ReadingError("temp_c", _("The temperature is missing: temp_c or temp_f."))
    if rh_pct is None:
        raise ReadingError("rh_pct", _("The humidity is missing: rh_pct."))
    return Sample(at=at, air_c=air_c, rh_pct=rh_pct, surface_c=surface_c)


def _moment(item: dict[str, object], now: datetime) -> datetime:
    written = item.get("at")
    if written is None:
        return now
    if isinstance(written, int | float) and not isinstance(written, bool):
        return moment_of(_finite("at", written))
    try:
        at = datetime.fromisoformat(written) if isinstance(written, str) else None
    except ValueError:
        at = None
    if at is None or at.utcoffset() is None:
        raise ReadingError("at", _("Write the moment in ISO 8601 with its offset, or in seconds since 1970."))
    return at


def _celsius(item: dict[str, object], name: str) -> float | None:
    in_c, in_f = _number(item, f"{name}_c"), _number(item, f"{name}_f")
    if in_c is not None and in_f is not None:
        raise ReadingError(f"{name}_f", _("The temperature is given twice. Send °C or °F."))
    return round(celsius(in_f), DECIMALS) if in_f is not None else in_c


def _number(item: dict[str, object], name: str) -> float | None:
    value = item.get(name)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ReadingError(name, _("This is not a number."))
    return round(_finite(name, value), DECIMALS)


def _finite(name: str, value: int | float) -> float:
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ReadingError(name, _("This is not a number."))
    return number

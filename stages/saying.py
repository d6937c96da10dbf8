"""How pages say what the engine found: sentences in the reader's language, moments by the shop's clock, hours."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format, number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.stored import stored
from shop.units import UnitSystem, format_quantity, format_temperature
from shop.units.here import units_here
from stages.engine.findings import Degrees, Quantity, Words
from stages.engine.sentences import unpacked

A_WEEK = 7
NEAR = 300  # days: as near as that, a date needs no year


def said(words: Words) -> str:
    """A sentence of the engine in the reader's language, its gaps filled."""
    return _(words.text) % {key: _filled(value) for key, value in words.values.items()}


def recorded(item: Mapping[str, Any]) -> str:
    """Why a rule refused, out of a line of the log that went on in spite of it, in the reader's language.

    Moments have their full date, since it is read long afterwards. Lines of long ago have the English words alone.
    """
    return _recorded(unpacked(item["said"])) if "said" in item else str(item["words"])


def _recorded(words: Words) -> str:
    return _(words.text) % {name: _kept(value) for name, value in words.values.items()}


def _kept(value: object) -> object:
    if isinstance(value, Words):
        return _recorded(value)
    if isinstance(value, datetime):
        at = timezone.localtime(value)
        return f"{date_format(at, 'j F Y')}, {at:%H:%M}"
    if isinstance(value, date):
        return date_format(value, "j F Y")
    return stored(value) if isinstance(value, str) else _filled(value)


def degrees(value: Degrees) -> str:
    """A temperature, or a difference of two, in the shop's units."""
    units = units_here.get()
    if not value.apart:
        return format_temperature(value.celsius, units)
    factor, unit = (1.8, "°F") if units is UnitSystem.US else (1.0, "°C")
    return f"{number_format(value.celsius * factor, 1)} {unit}"


def _filled(value: object) -> object:
    if isinstance(value, Words):
        return said(value)
    if isinstance(value, datetime):
        return when(value, timezone.now())
    if isinstance(value, date):
        return day(value, timezone.localdate())
    if isinstance(value, Quantity):
        return format_quantity(value.value, value.unit, units_here.get())
    return degrees(value) if isinstance(value, Degrees) else value


def when(at: datetime, now: datetime) -> str:
    """A moment in few words, by the clock of the active time zone.

    Parameters
    ----------
    at, now : datetime
        The moment and the present, aware.

    Returns
    -------
    str
        "today 16:30", "Thu 14:10" within a week ahead, "yesterday 09:00", else the day: "12 June", with its year
        when it is far. A past day keeps its time.
    """
    at, now = timezone.localtime(at), timezone.localtime(now)
    clock = f"{at:%H:%M}"
    days = (at.date() - now.date()).days
    if days == 0:
        return _("today %(clock)s") % {"clock": clock}
    if days == -1:
        return _("yesterday %(clock)s") % {"clock": clock}
    if 0 < days < A_WEEK:
        return f"{date_format(at, 'D')} {clock}"
    return _date(at, days) if days > 0 else f"{_date(at, days)}, {clock}"


def day(on: date, today: date) -> str:
    """A day in few words: "today", "tomorrow", "12 June", with its year when it is far."""
    days = (on - today).days
    if days in (0, 1):
        return _("tomorrow") if days else _("today")
    return _date(on, days)


def late(promised: date | None, today: date) -> str:
    """How late a promise is: "3 days late"; nothing before its day is over."""
    days = (today - promised).days if promised else 0
    return ngettext("%(n)s day late", "%(n)s days late", days) % {"n": days} if days > 0 else ""


def hours(amount_h: float) -> str:
    """Hours of work to the half hour, at least half of one: "1.5 h"."""
    halves = max(1, round(amount_h * 2)) / 2
    return _("%(hours)s h") % {"hours": number_format(halves, 0 if halves.is_integer() else 1)}


def _date(on: date, days: int) -> str:
    return date_format(on, "j F" if abs(days) <= NEAR else "j F Y")

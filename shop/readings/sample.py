"""One reading as a device took it, checked."""

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache

from django.utils.translation import gettext as _

from shop.units import convert
from shop.units.registry import factor

AIR_C = (-40.0, 50.0)
SURFACE_C = (-40.0, 70.0)
MOST_RAIN_MM = 500.0  # more than fell in any hour on record
CLOCK_SLACK = timedelta(minutes=5)
DECIMALS = 3  # so that a value that was converted twice is the same value


class ReadingError(ValueError):
    """A reading that cannot be; says which field, and why in a sentence."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """Air of a zone at a moment.

    Parameters
    ----------
    at : datetime
        When, aware.
    air_c, rh_pct : float
        Air temperature, °C, and relative humidity, %.
    surface_c : float or None
        Temperature of a hull's surface, °C.

    Raises
    ------
    ReadingError
        Air that no shop has.
    """

    at: datetime
    air_c: float
    rh_pct: float
    surface_c: float | None = None

    def __post_init__(self) -> None:
        if not AIR_C[0] <= self.air_c <= AIR_C[1]:  # not a number is in no range
            raise ReadingError("temp_c", _("The air of a shop lies between -40 and 50 °C."))
        if not 0.0 <= self.rh_pct <= 100.0:
            raise ReadingError("rh_pct", _("Humidity runs from 0 to 100 %."))
        if self.surface_c is not None and not SURFACE_C[0] <= self.surface_c <= SURFACE_C[1]:
            raise ReadingError("surface_c", _("A hull's surface lies between -40 and 70 °C."))

    @property
    def values(self) -> tuple[float, float, float | None]:
        """What was read, without the moment."""
        return self.air_c, self.rh_pct, self.surface_c


@dataclass(frozen=True, slots=True, kw_only=True)
class Rain:
    """Rain since the gauge's reading before.

    Parameters
    ----------
    at : datetime
        When it was read, aware.
    rain_mm : float
        Depth, mm.

    Raises
    ------
    ReadingError
        Rain that never fell.
    """

    at: datetime
    rain_mm: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.rain_mm <= MOST_RAIN_MM:
            raise ReadingError("rain_mm", _("Rain since the reading before is 0 to 500 mm."))


def check_moment(at: datetime, now: datetime, longest_ago: timedelta) -> None:
    """Refuse a moment that has not come, or lies so far back that the device's clock must be wrong.

    Raises
    ------
    ReadingError
        It is refused.
    """
    if at > now + CLOCK_SLACK:
        raise ReadingError("at", _("That time has not come yet."))
    if at < now - longest_ago:
        words = _("That is more than %(days)d days ago: is the clock of the device set?")
        raise ReadingError("at", words % {"days": longest_ago.days})


def moment_of(seconds: float) -> datetime:
    """Read seconds, or milliseconds, since 1970.

    Raises
    ------
    ReadingError
        It is not a moment of this age.
    """
    if not math.isfinite(seconds) or not 0 <= seconds < 1e14:
        raise ReadingError("at", _("That is no moment: write seconds since 1970, or ISO 8601 with its offset."))
    return datetime.fromtimestamp(seconds if seconds < 1e11 else seconds / 1000, UTC)


def celsius(fahrenheit: float) -> float:
    """Convert °F to °C."""
    zero_f, step = _fahrenheit()
    return (fahrenheit - zero_f) * step


@cache
def _fahrenheit() -> tuple[float, float]:
    # The library takes a millisecond a conversion: too long for a year of readings.
    return convert(0.0, "degC", "degF"), float(factor("delta_degF", "delta_degC"))

"""Readings of the air of a zone, and the words for air at one moment."""

from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple, Protocol

from stages.engine.air import FloatArray, check_air, check_surface
from stages.engine.errors import EngineError

HOUR_S = 3600.0
DAY_S = 24 * HOUR_S


class Air(NamedTuple):
    """Air temperature, °C, and relative humidity, %."""

    air_c: float
    rh_pct: float


# Taken where a zone was never read at all. Common practice, no published source.
UNREAD_AIR = Air(15.0, 65.0)


@dataclass(slots=True, frozen=True, kw_only=True)
class AirReading:
    """One reading of the air of a zone.

    Parameters
    ----------
    at : datetime
        When, with its time zone.
    air_c, rh_pct : float
        Air temperature, °C, and relative humidity, %.
    surface_c : float, optional
        Temperature of the work's surface, °C.

    Raises
    ------
    EngineError
        A moment without a time zone, or air that cannot be a shop's.
    """

    at: datetime
    air_c: float
    rh_pct: float
    surface_c: float | None = None

    def __post_init__(self) -> None:
        seconds_of(self.at)
        check_air(self.air_c, self.rh_pct)
        if self.surface_c is not None:
            check_surface(self.surface_c)


class AirAhead(Protocol):
    """Air that is expected after the last reading."""

    def expected(self, seconds: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Give air temperature, °C, and relative humidity, %, at moments in seconds since 1970 UTC."""


class AirAt(NamedTuple):
    """The air at one moment; ``surface_c`` is None where no surface was read, ``assumed`` where nobody measured."""

    air_c: float
    rh_pct: float
    surface_c: float | None
    assumed: bool


def seconds_of(moment: datetime) -> float:
    """Give a moment in seconds since 1970 UTC.

    Raises
    ------
    EngineError
        The moment has no time zone.
    """
    if moment.tzinfo is None:
        raise EngineError("at", "A moment needs its time zone.")
    return moment.timestamp()

"""What the watch looks at: a sensor's readings as plain numbers, with what was found of them before."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import NamedTuple


class Wrong(StrEnum):
    """What looks wrong with a reading."""

    STUCK = "stuck"
    RESTLESS = "restless"
    WILD = "wild"


class Seen(NamedTuple):
    """One reading.

    ``at_s`` is in seconds since 1970. ``flag`` is what was found before, ``decided`` whether somebody decided on it,
    and ``out`` whether it is kept out of the clock; ``pk`` is its row, None for a new one. A tuple, since the watch
    reads some thousand of them with each batch.
    """

    at_s: float
    air_c: float
    rh_pct: float
    flag: Wrong | None = None
    out: bool = False
    decided: bool = False
    pk: int | None = None

    @property
    def astray(self) -> bool:
        """Whether it was found to have jumped, and nobody took it in."""
        return self.flag is Wrong.WILD and self.out

    def taken_in(self, flag: Wrong) -> bool:
        """Whether it was flagged so, and somebody took it in."""
        return self.decided and not self.out and self.flag is flag


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The lowest and highest of what was read over a time."""

    low_c: float
    high_c: float
    low_pct: float
    high_pct: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """How far the air moved by other instruments: at most, in the same zone and anywhere in the shop."""

    here_c: float = 0.0
    here_pct: float = 0.0
    anywhere_c: float = 0.0
    anywhere_pct: float = 0.0


class Around:
    """What the watch may ask beyond the sensor's own readings; the table's answers are in `shop.readings.before`."""

    def moved(self, since: datetime, until: datetime) -> Moved:
        """How far the air moved elsewhere between two moments."""
        raise NotImplementedError

    def since_taken_in(self) -> Span | None:
        """What the sensor read from its last stuck reading that was taken in to those that are looked at."""
        raise NotImplementedError

"""A sensor that jumps as no air does: each reading is looked at from the last one that is believed.

It is the step test of automatic weather stations (Guide to the Global Observing System, WMO-No. 488, appendix VI.2;
named from memory). The limits are our own and much wider, since a shop has doors, heaters and a steam box: common
practice, no published source.
"""

from dataclasses import dataclass, field
from enum import Enum, auto

from shop.readings.seen import Seen

JUMP_C, JUMP_C_A_MINUTE = 10.0, 1.0
SOON_C, SOON_C_AN_HOUR = 12.0, 1.5  # a door or a stove moves the air fast, but not for long
JUMP_PCT, JUMP_PCT_A_MINUTE = 35.0, 5.0
BACK_C_AN_HOUR, BACK_PCT_AN_HOUR = 3.0, 10.0  # how far the air may have gone meanwhile, at most once more a jump
HOME_READINGS, HOME_S = 6, 3600.0

MINUTE_S, HOUR_S = 60.0, 3600.0


class Step(Enum):
    """What a reading is, seen from the one before."""

    TAME = auto()
    WILD = auto()
    MOVED_HOME = auto()  # the readings so far were the wrong ones, and those where it jumped to are the true ones


def is_far(one: Seen, other: Seen, *, more_c: float = 0.0, more_pct: float = 0.0) -> bool:
    """Whether two readings lie further apart than a jump and what is allowed beyond it."""
    return abs(one.air_c - other.air_c) > JUMP_C + more_c or abs(one.rh_pct - other.rh_pct) > JUMP_PCT + more_pct


def is_wild(reading: Seen, last: Seen) -> bool:
    """Whether air could not have come here from a believed reading in the time between."""
    seconds = reading.at_s - last.at_s
    minutes = seconds / MINUTE_S
    more_c = min(JUMP_C_A_MINUTE * minutes, SOON_C + SOON_C_AN_HOUR * seconds / HOUR_S)
    return is_far(reading, last, more_c=more_c, more_pct=JUMP_PCT_A_MINUTE * minutes)


@dataclass(slots=True, kw_only=True)
class Jumps:
    """Follows a sensor from reading to reading.

    A sensor that jumped stays astray until it comes back to where it was, or somebody takes its jump in: time alone
    makes none true. In its first hour nobody knows yet which side of a jump is the true one: there the side with more
    readings is, and of equals the first, so that one bad reading at the beginning does not keep all others out.

    Parameters
    ----------
    at_home : bool
        Whether it is known already what the sensor reads.
    believed : Seen or None
        The last reading that is believed.
    astray : Seen or None
        The last one that is not, where none is believed since.
    rivals : list of int
        Places of the readings astray that follow one another, as long as it is not at home.
    """

    at_home: bool = False
    believed: Seen | None = None
    astray: Seen | None = None
    rivals: list[int] = field(default_factory=list)
    _first_s: float = 0.0
    _rival_since_s: float = 0.0
    _count: int = 0

    def replay(self, reading: Seen) -> None:
        """Follow a reading as it was found before."""
        if reading.astray:
            self.astray = reading
        else:
            self._believe(reading)

    def look(self, place: int, reading: Seen, base: Seen | None) -> Step:
        """Say what a reading is, looked at from `base`: the last that is believed, or one that is surer."""
        if reading.decided:
            self.replay(reading)
            return Step.WILD if reading.astray else Step.TAME
        if base is None or not self._strayed(reading, base):
            self._believe(reading)
            return Step.TAME
        if not self.at_home:
            self._count_rival(place, reading)
            if len(self.rivals) > self._count:
                return self._move_home(reading)
        self.astray = reading
        return Step.WILD

    def _count_rival(self, place: int, reading: Seen) -> None:
        if self.astray is None or is_wild(reading, self.astray):
            self.rivals.clear()
        if not self.rivals:
            self._rival_since_s = reading.at_s
        self.rivals.append(place)

    def _move_home(self, reading: Seen) -> Step:
        self._first_s, self._count = self._rival_since_s, len(self.rivals) - 1
        self._believe(reading, keep=True)
        return Step.MOVED_HOME

    def _believe(self, reading: Seen, *, keep: bool = False) -> None:
        self.believed, self.astray = reading, None
        if not keep:
            self.rivals.clear()
        if not self._count:
            self._first_s = reading.at_s
        self._count += 1
        if self._count >= HOME_READINGS and reading.at_s - self._first_s >= HOME_S:
            self.at_home = True

    def _strayed(self, reading: Seen, base: Seen) -> bool:
        if self.astray is None:
            return is_wild(reading, base)
        if not is_far(reading, base):
            return False
        hours = (reading.at_s - base.at_s) / HOUR_S
        more_c, more_pct = min(BACK_C_AN_HOUR * hours, JUMP_C), min(BACK_PCT_AN_HOUR * hours, JUMP_PCT)
        jumped_again = is_far(reading, self.astray)
        return not jumped_again or is_far(reading, base, more_c=more_c, more_pct=more_pct)

"""How much is to be tried for a better plan, and what came of it."""

from dataclasses import dataclass
from enum import StrEnum

from stages.planner.schedule import Schedule


class How(StrEnum):
    """How improving ended."""

    PROVED = "proved"  # no plan costs less
    OUT_OF_TIME = "out of time"
    ALL_ROUNDS = "all rounds"
    STOPPED = "stopped"
    CRASHED = "crashed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How much is to be tried.

    Parameters
    ----------
    seconds : float or None
        By the clock on the wall.
    rounds : int or None
        Rounds of large neighbourhoods; with one worker and no ``seconds`` the same plan comes out each time.
    workers, seed : int
        Lanes side by side, and where chance begins.
    """

    seconds: float | None = None
    rounds: int | None = None
    workers: int = 1
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Improved:
    """The best plan that was found, how the search ended, rounds of large neighbourhoods, and its memory at most."""

    schedule: Schedule
    how: How
    rounds: int = 0
    peak_mib: float | None = None

"""How good forecasts were: the wider a range the worse, and the more so the farther what happened lies outside."""

import math
from dataclasses import dataclass
from statistics import NormalDist

from hulls.wording import gettext_noop
from stages.planner.errors import PlannerError

_TWO_SIDED_95 = NormalDist().inv_cdf(0.975)


def interval_score(low: float, high: float, happened: float, outside: float = 0.2) -> float:
    """Score of a range that leaves out ``outside`` of all cases, half on each side: smaller is better.

    Parameters
    ----------
    low, high, happened : float
        Ends of the range and what came, in one unit.
    outside : float
        Share of cases that the range leaves out; 0.2 for one from 10 to 90 %.

    Notes
    -----
    Gneiting and Raftery 2007, Strictly proper scoring rules, prediction, and estimation, JASA 102, eq. 43. It is the
    sum of the two pinball losses of the ends, times two over ``outside``.

    Raises
    ------
    PlannerError
        When the range ends before it begins, or ``outside`` is no share.
    """
    if low > high:
        raise PlannerError("high", gettext_noop("A range ends after it begins."))
    _share("outside", outside)
    return high - low + 2 / outside * (max(0.0, low - happened) + max(0.0, happened - high))


def pinball(quantile: float, happened: float, share: float) -> float:
    """Loss of a point under which ``share`` of all cases should lie: smaller is better (Koenker and Bassett 1978)."""
    _share("share", share)
    return max(share * (happened - quantile), (share - 1) * (happened - quantile))


def _share(field: str, share: float) -> None:
    if not 0.0 < share < 1.0:
        raise PlannerError(field, gettext_noop("A share lies between none and all."))


@dataclass(frozen=True, slots=True, kw_only=True)
class HitShare:
    """How many forecasts held, out of how many."""

    hits: int
    of: int

    def __post_init__(self) -> None:
        if not 0 <= self.hits <= self.of or self.of == 0:
            raise PlannerError("hits", gettext_noop("Of no forecasts there is no share that held."))

    @property
    def share(self) -> float:
        """The share that held."""
        return self.hits / self.of

    @property
    def between(self) -> tuple[float, float]:
        """Where the true share lies, with 95 % confidence: wide for few boats (Wilson 1927, JASA 22)."""
        z, n = _TWO_SIDED_95, self.of
        middle = (self.share + z * z / (2 * n)) / (1 + z * z / n)
        half = z / (1 + z * z / n) * math.sqrt(self.share * (1 - self.share) / n + z * z / (4 * n * n))
        return max(0.0, middle - half), min(1.0, middle + half)

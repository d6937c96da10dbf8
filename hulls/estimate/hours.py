"""What the shop's own record teaches of its hours: for each kind of work, how the hours taken stand to those expected.

The logarithm of (hours taken / hours expected) is taken as normal about what is true of this shop.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from hulls.estimate.errors import EstimateError, gettext_noop
from hulls.estimate.spread import LogNormal

USUAL_SPREAD = 0.35  # one job in ten takes over 1.57 times its middle; common practice, no published source
MOST_SPREAD = 2.0
USUAL_WEIGHT = 3.0  # the route's formula counts as much as three boats
SPREAD_WEIGHT = 4.0  # how many boats more the usual spread counts as: a few boats say little of a spread
BEND = 1.345  # Huber's constant: 95 % efficient where nothing is odd
HALVINGS = 60
_NORMAL = NormalDist()
# E[min(Z², BEND²)] for a standard normal Z: what bent squares come to where nothing is odd
_BENT_SQUARE = 2 * _NORMAL.cdf(BEND) - 1 - 2 * BEND * _NORMAL.pdf(BEND) + 2 * BEND**2 * (1 - _NORMAL.cdf(BEND))


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursBelief:
    """What is believed of the hours of one kind of work, as a factor on what the route's formula expects.

    Parameters
    ----------
    mean : float
        Mean of the logarithm of (hours taken / hours expected); 0 is as the formula has it.
    spread : float
        Standard deviation of that logarithm from boat to boat.
    weight : float
        How many boats the belief stands on, the formula's own weight counted.

    Raises
    ------
    EstimateError
        When the spread or the weight is not above zero.
    """

    mean: float = 0.0
    spread: float = USUAL_SPREAD
    weight: float = USUAL_WEIGHT

    def __post_init__(self) -> None:
        if not 0.0 < self.spread <= MOST_SPREAD or not self.weight > 0.0 or not math.isfinite(self.mean):
            raise EstimateError("spread", gettext_noop("That spread is too wide to be a belief."))

    @property
    def next_spread(self) -> float:
        """Spread of the next boat's logarithm: from boat to boat, and from not knowing the mean."""
        return self.spread * math.sqrt(1.0 + 1.0 / self.weight)

    @property
    def factor(self) -> float:
        """Mean of (hours taken / hours expected): what an estimate charges for each hour that the formula expects."""
        return LogNormal(mu=self.mean, sigma=self.spread).mean

    def likely(self, expected_h: float, share: float) -> float:
        """Hours, h, under which the next boat stays with a chance of ``share``, where the formula expects so many."""
        return expected_h * LogNormal(mu=self.mean, sigma=self.next_spread).quantile(share)


USUAL = HoursBelief(mean=-(USUAL_SPREAD**2) / 2)  # before anything is learnt, the formula's hours are the mean


def learn(ratios: Iterable[float], before: HoursBelief = USUAL) -> HoursBelief:
    """What is believed after the shop's own boats; their order is no matter.

    Parameters
    ----------
    ratios : iterable of float
        Hours taken over hours expected, one a boat, each above zero.
    before : HoursBelief
        What was believed before any of them.

    Raises
    ------
    EstimateError
        When a ratio is not above zero.

    Notes
    -----
    The mean minimises the normal update's loss (known spread, prior worth ``before.weight`` boats) with each boat's
    part bent by Huber's function (Huber 1964, Robust estimation of a location parameter, Ann. Math. Statist. 35):
    it is the one root of ``weight (before - m) + sum clip(log ratio - m)``. Where no boat is odd this is the conjugate
    normal update. A boat pulls with at most ``BEND * spread``, so however odd it is, it moves the mean by no more than
    ``BEND * spread / weight``, and by less the more there are. The spread is the normal update's with bent squares,
    made true for normal ones (Huber's proposal 2): it too finds the truth, and one boat cannot blow it up.
    """
    logs = [_log(ratio) for ratio in ratios]
    if not logs:
        return before
    mean = _mean(logs, before)
    return HoursBelief(mean=mean, spread=_spread(logs, mean, before), weight=before.weight + len(logs))


def _log(ratio: float) -> float:
    if not ratio > 0.0 or not math.isfinite(ratio):
        raise EstimateError("hours", gettext_noop("Hours are above zero."))
    return math.log(ratio)


def _mean(logs: list[float], before: HoursBelief) -> float:
    """Where the pulls balance: they fall as the mean rises, so halving finds it."""
    reach = BEND * before.spread
    low, high = min(*logs, before.mean), max(*logs, before.mean)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        pull = before.weight * (before.mean - middle) + sum(max(-reach, min(reach, y - middle)) for y in logs)
        low, high = (middle, high) if pull > 0 else (low, middle)
    return (low + high) / 2


def _spread(logs: list[float], mean: float, before: HoursBelief) -> float:
    """The variance that equals the mean of the prior's and of the bent squares, which rise more slowly than it does."""
    known = before.weight + SPREAD_WEIGHT
    squares = [(y - mean) ** 2 for y in logs]
    low, high = 0.0, MOST_SPREAD**2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        bent = sum(min(square, BEND**2 * middle) for square in squares) / _BENT_SQUARE
        wanted = (known * before.spread**2 + bent) / (known + len(logs))
        low, high = (middle, high) if wanted > middle else (low, middle)
    return math.sqrt((low + high) / 2)

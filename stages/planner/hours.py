"""What the shop's own record teaches of its hours: for each kind of work, how the hours taken stand to those expected.

The logarithm of (hours taken / hours expected) is normal; what is believed of its mean and variance together is
normal-inverse-gamma, so that the next boat's logarithm follows Student's t.
Estimates and forecasts read this one belief.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from hulls.wording import gettext_noop
from stages.planner import student
from stages.planner.errors import PlannerError

USUAL_SPREAD = 0.35  # one job in ten takes over 1.57 times its middle; common practice, no published source
MOST_SPREAD = 2.0
USUAL_WEIGHT = 3.0  # the route's formula counts as much as three boats
USUAL_FREEDOM = 7  # as many boats the usual spread counts as: a few boats say little of a spread
BEND = 1.345  # Huber's constant: 95 % efficient where nothing is odd
HALVINGS = 60
_NORMAL = NormalDist()
_NINE_IN_TEN = _NORMAL.inv_cdf(0.9)


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
        How many boats the mean stands on, the formula's own weight counted.
    freedom : int
        How many boats the spread stands on, the usual spread's own weight counted.

    Raises
    ------
    PlannerError
        When the spread, the weight or the freedom is not above zero.

    Notes
    -----
    Murphy 2007, Conjugate Bayesian analysis of the Gaussian distribution, section 5: in its letters mu = ``mean``,
    kappa = ``weight``, nu = ``freedom``, sigma² = ``spread²``; as a normal-inverse-gamma (section 6) V = 1 / kappa,
    a = nu / 2, b = nu sigma² / 2.
    """

    mean: float = 0.0
    spread: float = USUAL_SPREAD
    weight: float = USUAL_WEIGHT
    freedom: int = USUAL_FREEDOM

    def __post_init__(self) -> None:
        sure = self.weight > 0.0 and self.freedom > 0 and math.isfinite(self.mean)
        if not 0.0 < self.spread <= MOST_SPREAD or not sure:
            raise PlannerError("spread", gettext_noop("That spread is too wide to be a belief."))

    @property
    def scale(self) -> float:
        """Scale of the next boat's t: the spread from boat to boat, and not knowing the mean."""
        return self.spread * math.sqrt(1.0 + 1.0 / self.weight)

    @property
    def next_spread(self) -> float:
        """Standard deviation of the normal that has the 10 and 90 % points of the next boat's logarithm."""
        return self.scale * student.quantile(0.9, self.freedom) / _NINE_IN_TEN

    @property
    def factor(self) -> float:
        """Mean of (hours taken / hours expected) at this mean and spread: what an hour of the formula is charged as."""
        return math.exp(self.mean + self.spread**2 / 2)

    def likely(self, expected_h: float, share: float) -> float:
        """Hours, h, under which the next boat stays with a chance of ``share``, where the formula expects so many."""
        return expected_h * math.exp(self.mean + self.scale * student.quantile(share, self.freedom))


USUAL = HoursBelief(mean=-(USUAL_SPREAD**2) / 2)  # before anything is learnt, the formula's hours are the mean


def learn(ratios: Iterable[float], before: HoursBelief = USUAL, bend: float = BEND) -> HoursBelief:
    """What is believed after the shop's own boats; their order is no matter.

    Parameters
    ----------
    ratios : iterable of float
        Hours taken over hours expected, one a boat, each above zero.
    before : HoursBelief
        What was believed before any of them.
    bend : float
        From how many spreads off a boat pulls no harder; infinite for the plain conjugate update.

    Raises
    ------
    PlannerError
        When a ratio is not above zero.

    Notes
    -----
    The conjugate update (Murphy 2007, section 5) with each boat's part bent by Huber's function (Huber
    1964, Robust estimation of a location parameter, Ann. Math. Statist. 35). The mean is the one root of
    ``weight (before - m) + sum clip(log ratio - m)``; the sum of squares is the update's own, with bent squares made
    true for normal ones (Huber's proposal 2). A boat pulls with at most ``bend * spread``, so however odd it is, it
    moves the mean by no more than ``bend * spread / weight``, and by less the more there are.
    """
    logs = [_log(ratio) for ratio in ratios]
    if not logs:
        return before
    mean = _mean(logs, before, bend)
    return HoursBelief(
        mean=mean,
        spread=_spread(logs, mean, before, bend),
        weight=before.weight + len(logs),
        freedom=before.freedom + len(logs),
    )


def _log(ratio: float) -> float:
    if not ratio > 0.0 or not math.isfinite(ratio):
        raise PlannerError("hours", gettext_noop("Hours are above zero."))
    return math.log(ratio)


def _mean(logs: list[float], before: HoursBelief, bend: float) -> float:
    """Where the pulls balance: they fall as the mean rises, so halving finds it."""
    reach = bend * before.spread
    low, high = min(*logs, before.mean), max(*logs, before.mean)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        pull = before.weight * (before.mean - middle) + sum(max(-reach, min(reach, y - middle)) for y in logs)
        low, high = (middle, high) if pull > 0 else (low, middle)
    return (low + high) / 2


def _spread(logs: list[float], mean: float, before: HoursBelief, bend: float) -> float:
    """The variance that equals the mean of the prior's and of the bent squares, which rise more slowly than it does.

    Squares about the updated mean and the prior's way to it sum up to those of the update in its usual form.
    """
    prior = before.freedom * before.spread**2 + before.weight * (mean - before.mean) ** 2
    squares = [(y - mean) ** 2 for y in logs]
    low, high = 0.0, MOST_SPREAD**2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        bent = sum(min(square, bend * bend * middle) for square in squares) / _bent_square(bend)
        wanted = (prior + bent) / (before.freedom + len(logs))
        low, high = (middle, high) if wanted > middle else (low, middle)
    return math.sqrt((low + high) / 2)


def _bent_square(bend: float) -> float:
    """E[min(Z², bend²)] for a standard normal Z: what bent squares come to where nothing is odd."""
    if math.isinf(bend):
        return 1.0
    beyond = 2 * (1 - _NORMAL.cdf(bend))
    return 1 - beyond - 2 * bend * _NORMAL.pdf(bend) + bend**2 * beyond

"""What a shop's own hands teach about a product: its factor on the label's hours, and how sure that is.

The logarithm of the factor is normal around 0 before anything was seen: a fresh product starts from its label. Each
time that somebody finds a coat still tacky, or dry, at a known age, every factor is weighed by how well it explains
that.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

import numpy as np

from stages.engine.air import FloatArray
from stages.engine.errors import EngineError

# All three from memory, no published figure found.
PRIOR_SPREAD = 0.25  # shops differ from a label by a factor of 1.28 either way, one standard deviation
SEEN_SPREAD = 0.20  # one coat differs from another, and one thumb from another, by a factor of 1.22
SLIPS = 0.10  # share of answers that say nothing: another coat was meant, or the wrong button
FURTHEST = 9.0  # prior standard deviations that the grid reaches; factors from 0.11 to 9.5
POINTS = 901
ONE_IN_TEN = 1.2816  # standard deviations to the 1-in-10 and 9-in-10 marks of a normal distribution


class Seen(StrEnum):
    """What somebody found when they tried a coat."""

    TACKY = "tacky"
    DRY = "dry"


@dataclass(slots=True, frozen=True, kw_only=True)
class Observation:
    """One trial of a coat.

    Parameters
    ----------
    age_h : float
        Equivalent age of the coat at that moment by the label, hours at its reference.
    needed_h : float
        Hours at the reference that the label gives for the dryness that was tried, the film counted.
    seen : Seen
        What was found.

    Raises
    ------
    EngineError
        Hours that are no number over zero.
    """

    age_h: float
    needed_h: float
    seen: Seen

    def __post_init__(self) -> None:
        for field in ("age_h", "needed_h"):
            hours = getattr(self, field)
            if not (math.isfinite(hours) and hours > 0.0):
                raise EngineError(field, f"The hours must be a number over zero, not {hours}.")

    @property
    def share_log(self) -> float:
        """Give the logarithm of the age over the label's hours: 0 is dry or tacky just when the label says."""
        return math.log(self.age_h / self.needed_h)


@dataclass(slots=True, frozen=True, kw_only=True)
class ShopFactor:
    """How many times the label's hours a product takes in this shop.

    Parameters
    ----------
    log_mean, spread : float
        Mean and standard deviation of the factor's logarithm.
    count : int
        Observations behind it.
    """

    log_mean: float = 0.0
    spread: float = PRIOR_SPREAD
    count: int = 0

    @property
    def factor(self) -> float:
        """Give the likely factor."""
        return math.exp(self.log_mean)

    @property
    def low(self) -> float:
        """Give the factor that is undercut 1 time in 10."""
        return math.exp(self.log_mean - ONE_IN_TEN * self.spread)

    @property
    def high(self) -> float:
        """Give the factor that is passed 1 time in 10."""
        return math.exp(self.log_mean + ONE_IN_TEN * self.spread)


def learn(
    observations: Sequence[Observation], *, prior_spread: float = PRIOR_SPREAD, seen_spread: float = SEEN_SPREAD
) -> ShopFactor:
    """Give the shop's factor for a product after what was seen.

    Parameters
    ----------
    observations : sequence of Observation
        In any order.
    prior_spread : float
        Standard deviation of the factor's logarithm before anything was seen.
    seen_spread : float
        Standard deviation of one observation's logarithm around it.

    Returns
    -------
    ShopFactor
        Mean and spread of the posterior; those of the label without an observation.

    Notes
    -----
    Bayes' rule on a grid. A coat tried at the age a is dry with the chance ``Phi((ln(a / h) - theta) / s)``, h the
    label's hours and theta the factor's logarithm; still tacky with the rest. So each observation is censored, from the
    left or from the right, with a probit likelihood (Bliss 1934, from memory). A share of slips that tell nothing
    bounds what one odd answer can do.
    """
    if not observations:
        return ShopFactor(spread=prior_spread)
    logs = _grid(prior_spread)
    weights = -0.5 * (logs / prior_spread) ** 2
    for share_log, seen in sorted((item.share_log, item.seen) for item in observations):
        sign = 1.0 if seen is Seen.DRY else -1.0
        weights = weights + np.log(SLIPS / 2.0 + (1.0 - SLIPS) * _normal(sign * (share_log - logs) / seen_spread))
    return _posterior(logs, weights, len(observations))


def learn_ratio(
    logs: Sequence[float], *, prior_spread: float = PRIOR_SPREAD, seen_spread: float = SEEN_SPREAD
) -> ShopFactor:
    """Give the shop's factor on an amount of the label from amounts that were measured.

    Parameters
    ----------
    logs : sequence of float
        Natural logarithm of what was measured over what the label says, one a measurement, in any order.
    prior_spread, seen_spread : float
        As for `learn`.

    Returns
    -------
    ShopFactor
        Mean and spread of the posterior; those of the label without a measurement.

    Notes
    -----
    Bayes' rule on the same grid as `learn`: a measurement is normal around the factor's logarithm, but for a share of
    slips that are as likely to lie anywhere on the grid, so that one odd boat moves little and many move it.
    """
    if not logs:
        return ShopFactor(spread=prior_spread)
    grid = _grid(prior_spread)
    flat = SLIPS / float(grid[-1] - grid[0])
    weights = -0.5 * (grid / prior_spread) ** 2
    for seen in sorted(logs):
        bell = np.exp(-0.5 * ((seen - grid) / seen_spread) ** 2) / (seen_spread * math.sqrt(2.0 * math.pi))
        weights = weights + np.log((1.0 - SLIPS) * bell + flat)
    return _posterior(grid, weights, len(logs))


def _posterior(logs: FloatArray, weights: FloatArray, count: int) -> ShopFactor:
    chances = np.exp(weights - weights.max())
    chances /= chances.sum()
    mean = float(np.sum(chances * logs))
    return ShopFactor(log_mean=mean, spread=math.sqrt(float(np.sum(chances * (logs - mean) ** 2))), count=count)


@lru_cache(maxsize=8)
def _grid(prior_spread: float) -> FloatArray:
    reach = FURTHEST * prior_spread
    grid: FloatArray = np.linspace(-reach, reach, POINTS)
    grid.setflags(write=False)
    return grid


def _normal(deviations: FloatArray) -> FloatArray:
    """Give the normal distribution function; with slips beside it, its far tails need no logarithm."""
    erfc = np.frompyfunc(math.erfc, 1, 1)
    chances: FloatArray = 0.5 * np.asarray(erfc(-deviations / math.sqrt(2.0)), dtype=np.float64)
    return chances

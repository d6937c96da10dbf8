"""How far off: log-normal amounts, and the range of a sum of them."""

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

LOW, HIGH = 0.10, 0.90
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogNormal:
    """An amount whose logarithm is normal, with mean ``mu`` and standard deviation ``sigma``.

    Notes
    -----
    Source of the relations: Johnson, Kotz, Balakrishnan, Continuous Univariate Distributions 1 (2nd ed.), ch. 14.
    """

    mu: float
    sigma: float

    @classmethod
    def of_mean(cls, mean: float, sd: float) -> "LogNormal":
        """The one with this mean and standard deviation, both above zero: ``sigma² = ln(1 + sd²/mean²)``."""
        variance = math.log1p((sd / mean) ** 2)
        return cls(mu=math.log(mean) - variance / 2, sigma=math.sqrt(variance))

    @property
    def mean(self) -> float:
        """Mean: ``exp(mu + sigma²/2)``."""
        return math.exp(self.mu + self.sigma**2 / 2)

    def quantile(self, share: float) -> float:
        """The amount under which a share (0 to 1, ends left out) of all cases lie."""
        return math.exp(self.mu + self.sigma * _NORMAL.inv_cdf(share))


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertain:
    """A part of a sum: its mean, the standard deviation of its logarithm, and which parts it is long or short with."""

    mean: float
    spread: float
    together: str = ""


def likely_range(parts: Iterable[Uncertain]) -> tuple[float, float]:
    """The 10 and 90 % points of a sum of log-normal amounts.

    Parameters
    ----------
    parts : iterable of Uncertain
        At least one, each with a mean above zero.

    Notes
    -----
    The sum is taken as log-normal with its exact mean and variance (Fenton 1960, The sum of log-normal probability
    distributions in scatter transmission systems, IRE Trans. CS-8). Parts that go together share one normal
    deviate: their covariance is ``mean_i mean_j (exp(spread_i spread_j) - 1)``; all others are independent.
    """
    groups: dict[object, list[Uncertain]] = defaultdict(list)
    for n, part in enumerate(parts):
        groups[part.together or n].append(part)
    mean = sum(part.mean for group in groups.values() for part in group)
    variance = sum(_variance(group) for group in groups.values())
    whole = LogNormal.of_mean(mean, math.sqrt(variance))
    return whole.quantile(LOW), whole.quantile(HIGH)


def _variance(group: list[Uncertain]) -> float:
    return sum(a.mean * b.mean * math.expm1(a.spread * b.spread) for a in group for b in group)

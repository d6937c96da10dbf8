"""Student's t distribution with whole degrees of freedom: what a normal becomes when its mean and spread are learnt."""

import math
from functools import lru_cache

HALVINGS = 100


def below(t: float, freedom: int) -> float:
    """The share of cases under ``t``.

    Parameters
    ----------
    t : float
        Standard units.
    freedom : int
        Degrees of freedom, one or more.

    Notes
    -----
    Finite sums in the angle whose tangent is ``t / sqrt(freedom)``: Abramowitz and Stegun, Handbook of Mathematical
    Functions, 26.7.3 (odd) and 26.7.4 (even).
    """
    angle = math.atan2(t, math.sqrt(freedom))
    sine, square = math.sin(angle), math.cos(angle) ** 2
    term, total = 1.0, 0.0
    for n in range(freedom // 2):
        total += term
        term *= square * (2 * n + 2) / (2 * n + 3) if freedom % 2 else square * (2 * n + 1) / (2 * n + 2)
    inside = 2 / math.pi * (angle + sine * math.cos(angle) * total) if freedom % 2 else sine * total
    return (1 + inside) / 2


@lru_cache(maxsize=4096)
def quantile(share: float, freedom: int) -> float:
    """The ``t`` under which a share (0 to 1, ends left out) of all cases lie: halved until no float lies between."""
    high = 1.0
    while below(high, freedom) < share or below(-high, freedom) > share:
        high *= 2
    low = -high
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if below(middle, freedom) < share else (low, middle)
    return (low + high) / 2

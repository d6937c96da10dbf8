"""The rule of apparent urgency, fitted to the boats at hand: what look-ahead it takes depends on how full the shop is.

Vepsalainen and Morton 1987 (Priority rules for job shops with weighted tardiness costs) leave the look-ahead to be
chosen by the load; here it is tried out, then the powers of weight and work along with it.
"""

import math
from dataclasses import dataclass
from random import Random

import numpy as np

from stages.planner.arrays import UNBOUNDED, Arrays, Ints
from stages.planner.rules import Figures, rank_by

FIRST, LAST, LOOKS = 0.3, 12.0, 7  # look-aheads to begin with, of the mean length of a boat's work
TRIES, SPREAD, NARROWER = 24, 0.5, 0.93


@dataclass(frozen=True, slots=True, kw_only=True)
class Urgency:
    """One rule: how far it looks ahead, and to which powers it takes weight and work."""

    look_ahead: float
    weight: float = 1.0
    work: float = 1.0

    def near(self, random: Random, spread: float) -> "Urgency":
        """Another one like it."""
        return Urgency(
            look_ahead=self.look_ahead * math.exp(random.gauss(0.0, spread)),
            weight=max(0.0, self.weight + random.gauss(0.0, spread)),
            work=max(0.0, self.work + random.gauss(0.0, spread)),
        )


class Fitting:
    """A search for the rule that gives the cheapest schedule: `rank` it, reckon what it costs, and `learn` from that.

    ``least`` is the least cost that it learnt of: a schedule that must cost more need not be built to its end.

    Parameters
    ----------
    arrays : Arrays
        The problem.
    random : Random
        Where chance comes from.
    """

    def __init__(self, arrays: Arrays, random: Random) -> None:
        self._figures, self._random = Figures.of(arrays), random
        self._slack = np.maximum(self._figures.due - self._figures.rest, 0.0) / self._figures.mean_length
        self._first = [Urgency(look_ahead=float(look)) for look in np.geomspace(LAST, FIRST, LOOKS)]
        self._best, self.least = self._first[-1], UNBOUNDED
        self._tried, self._spread = self._best, SPREAD
        self._left = LOOKS + TRIES

    @property
    def goes_on(self) -> bool:
        """Whether there is another rule to try."""
        return self._left > 0

    def rank(self) -> Ints:
        """Every step's rank by the next rule."""
        self._left -= 1
        self._tried = self._first.pop() if self._first else self._best.near(self._random, self._spread)
        rule, figures = self._tried, self._figures
        worth = rule.work * np.log(figures.work) - rule.weight * np.log(figures.weight)
        return rank_by(worth + self._slack / rule.look_ahead, -figures.rest)

    def learn(self, cost: int) -> None:
        """What the schedule by the rule of the last `rank` costs, or more than the least so far."""
        if cost < self.least:
            self._best, self.least = self._tried, cost
        elif not self._first:
            self._spread *= NARROWER

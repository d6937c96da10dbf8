"""Search over the order of the steps: by a rule fitted to the boats, then by moving boats, their legs and single steps.

The moves after Kirkpatrick, Gelatt and Vecchi 1983 (Optimization by simulated annealing): a worse order is taken with a
chance that falls as the search cools; when it is cold it begins again from the best, warmer and for twice as long. How
much worse it may be is drawn before it is tried, so that a trial stops as soon as it must cost more.
"""

import math
from random import Random

import numpy as np

from stages.planner import moves
from stages.planner.arrays import NEVER, UNBOUNDED, Arrays, Ints
from stages.planner.decode import order_by
from stages.planner.serial import run
from stages.planner.state import State
from stages.planner.urgency import Fitting
from stages.planner.walk import Walk

# The mean of what a trial may cost more, as a share of the cost: when a cycle begins, at most, and when it is cold.
WARM, HOT, COLD = 6e-4, 2e-3, 1e-5
CYCLE = 1500  # rounds until it is cold, the first time


class Search:
    """One search: where it stands, the best so far, and how hot it is.

    Parameters
    ----------
    arrays : Arrays
        The problem.
    order : ndarray
        Where it begins: an order that keeps the links, what is under way first.
    seed : int
        The same seed, the same search.
    """

    def __init__(self, arrays: Arrays, order: Ints, seed: int) -> None:
        self._arrays, self._random = arrays, Random(seed)
        self._walk = Walk(arrays, order)
        self._fitting, self._state = Fitting(arrays, self._random), State.of(arrays)
        self.best, self.best_order = self._walk.cost, order.copy()
        steps, links = arrays.steps, arrays.links
        self._base = int(steps["fact"].sum())
        self._job = steps["job"].copy()
        self._boats = np.unique(self._job[steps["fact"] == 0])
        self._crossing = bool((links["first"] & (self._job[links["before"]] != self._job[links["after"]])).any())
        self._place, self._marked = np.zeros((2, len(order)), np.int64)
        self._stand()
        self._round, self._cycle, self._hot = 0, CYCLE, WARM
        self._forward = -1  # the boat that the next order brings forward

    def round(self) -> None:
        """Try one order."""
        if self._base >= len(self._place):
            return
        if self._fitting.goes_on:
            self._fit()
        else:
            self._move()

    def warm(self) -> None:
        """Try one move before the rules, so that what is compiled when it is first called stands ready."""
        if self._base < len(self._place):
            self._move()

    def _move(self) -> None:
        if self._round >= self._cycle:
            self._begin_again()
        self._round += 1
        walk = self._walk
        first = self._propose()
        if first >= len(self._place):
            return
        heat = self._hot * (COLD / self._hot) ** (self._round / self._cycle)
        bound = walk.cost - int(math.log(1.0 - self._random.random()) * heat * walk.cost)
        cost = walk.attempt(first, bound, self._forward)
        if cost <= bound:
            walk.accept()
            self._stand()
            if cost < self.best:
                self.best, self.best_order = cost, walk.order.copy()

    def _fit(self) -> None:
        """Try the order of another rule; behind the last the walk goes on from the best."""
        arrays = self._arrays
        order = order_by(arrays, self._fitting.rank(), chained=True)
        cost = run(arrays, self._state, order, arrays.lengths, arrays.dries, self._fitting.least)
        self._fitting.learn(cost)
        if cost < self.best:
            self.best, self.best_order = cost, order
        if not self._fitting.goes_on:
            self._go_to_best()

    def _begin_again(self) -> None:
        self._round, self._cycle, self._hot = 0, 2 * self._cycle, min(HOT, 3 * self._hot)
        self._go_to_best()

    def _go_to_best(self) -> None:
        self._walk.next_order[:] = self.best_order
        self._walk.attempt(0, UNBOUNDED)
        self._walk.accept()
        self._stand()

    def _stand(self) -> None:
        """Where each step lies in the order, and how much each boat costs."""
        self._place[self._walk.order] = np.arange(len(self._place))
        late = _late(self._arrays, self._walk.state)[self._boats]
        self._late = np.cumsum(late)

    def _propose(self) -> int:
        """Write the next order; the first place that changes."""
        random, n = self._random, len(self._place)
        by = int(math.exp(random.random() * math.log(max(2.0, (n - self._base) / 2))))
        kind, self._forward = random.random(), -1
        if kind < 0.65 and len(self._boats) > 1:
            first = self._boat(by)
        elif kind < 0.9:
            first = self._legs(by)
        else:
            return self._step(by)
        return self._mend(first) if self._crossing else first

    def _boat(self, by: int) -> int:
        """Shift a whole boat: one that is late forward, or any either way."""
        random, n = self._random, len(self._place)
        total = int(self._late[-1])
        if total > 0 and random.random() < 0.7:
            job, by = self._boats[np.searchsorted(self._late, random.randrange(total), "right")], -by
        else:
            job, by = self._boats[random.randrange(len(self._boats))], by if random.random() < 0.5 else -by
        self._forward = int(job) if by < 0 else -1
        moves.mark(self._arrays, self._place, job, 0, n, self._marked)
        return moves.shift(self._walk.order, self._marked, by, self._base, self._walk.next_order)

    def _legs(self, by: int) -> int:
        """Shift a boat's steps from some step on back, or those up to it forward."""
        random, n = self._random, len(self._place)
        at = random.randrange(self._base, n)
        job = self._job[self._walk.order[at]]
        first, last, by = (at, n, by) if random.random() < 0.5 else (0, at + 1, -by)
        self._forward = int(job) if by < 0 else -1
        moves.mark(self._arrays, self._place, job, first, last, self._marked)
        return moves.shift(self._walk.order, self._marked, by, self._base, self._walk.next_order)

    def _step(self, by: int) -> int:
        """Shift one step, as far as its links let it."""
        random, walk = self._random, self._walk
        at = random.randrange(self._base, len(self._place))
        low, high = moves.span_of(self._arrays, self._place, walk.order[at], self._base)
        to = min(max(at + (by if random.random() < 0.5 else -by), low), high)
        return len(self._place) if to == at else moves.insert(walk.order, at, to, walk.next_order)

    def _mend(self, first: int) -> int:
        """Have steps that links between boats bind come after what they are bound to."""
        walk, n = self._walk, len(self._place)
        if first >= n:
            return first
        rank = np.empty(n, np.int64)
        rank[walk.next_order] = np.arange(n)
        self._forward = -1
        walk.next_order[:] = order_by(self._arrays, rank, chained=False)
        changed = np.flatnonzero(walk.next_order != walk.order)
        return int(changed[0]) if len(changed) else n


def _late(arrays: Arrays, state: State) -> Ints:
    """What each boat costs that is late, or that weighs until it is done."""
    jobs, done = arrays.jobs, np.maximum(state.done, 0)
    tardy = np.where(jobs["due"] == NEVER, 0, jobs["weight"] * np.maximum(done - jobs["due"], 0))
    costs: Ints = tardy + jobs["flow"] * done
    return costs

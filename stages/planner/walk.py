"""The schedule at which a search stands, and the next one, reckoned from where their orders part.

A schedule is kept as far as it was at some points of its order. What is tried begins at the last of these before the
first step that lies elsewhere, and stops as soon as it must cost more than it may.
"""

from bisect import bisect_right

from stages.planner.arrays import NEVER, UNBOUNDED, Arrays, Ints
from stages.planner.compiled import part
from stages.planner.serial import clear, go_on, run
from stages.planner.state import OPEN, State

POINTS = 12


class Walk:
    """A search's schedule now, and one that may follow it.

    Parameters
    ----------
    arrays : Arrays
        The problem.
    order : ndarray
        Where the walk begins: an order that keeps the links.
    """

    def __init__(self, arrays: Arrays, order: Ints) -> None:
        self._arrays = arrays
        self._repairs = _repairs(arrays)
        points = 1 if self._repairs else POINTS
        self._at = [len(order) * point // points for point in range(points + 1)]
        self._kept = [State.of(arrays) for _ in range(points)]
        self._tried = [State.of(arrays) for _ in range(points)]
        self.state, self._next = State.of(arrays), State.of(arrays)
        self.order, self.next_order = order.copy(), order.copy()
        clear(arrays, self._kept[0])
        self.cost = self.attempt(0, UNBOUNDED)
        self.accept()

    def attempt(self, first: int, bound: int) -> int:
        """What ``next_order`` costs.

        Parameters
        ----------
        first : int
            Up to this place it is the same as the order now.
        bound : int
            It stops where it must cost more.
        """
        a, s = self._arrays, self._next
        self._since = 0
        if self._repairs:
            return run(a, s, self.next_order, a.lengths, a.dries, bound)
        point = self._since = max(bisect_right(self._at[:-1], first) - 1, 0)
        resume(self._kept[point], self.state, s, self.next_order, self._at[point])
        for at in range(point, len(self._at) - 1):
            if at > point:
                keep(s, self._tried[at])
            go_on(a, s, self.next_order, self._at[at], self._at[at + 1], a.lengths, a.dries, bound, False)
            if s.totals[0] > bound:
                break
        return int(s.totals[0])

    def accept(self) -> None:
        """Stand where the last attempt, run to its end, led."""
        self.cost = int(self._next.totals[0])
        self.state, self._next = self._next, self.state
        self.order, self.next_order = self.next_order, self.order
        for at in range(self._since + 1, len(self._kept)):
            self._kept[at], self._tried[at] = self._tried[at], self._kept[at]


def _repairs(arrays: Arrays) -> bool:
    """Whether a lag may put off what is placed already: then every schedule is built up from the beginning."""
    links = arrays.links
    hard = (links["most"] != NEVER) & (links["sanding"] == 0)
    untied = (links["first"] == 0) & (links["least"] != NEVER)
    return bool((hard | untied).any())


@part
def keep(s: State, to: State) -> None:
    """Write down who is free, what is taken and what it costs so far."""
    for p in range(len(s.free_n)):
        to.free_n[p] = s.free_n[p]
        for at in range(s.free_n[p]):
            to.free_first[p, at] = s.free_first[p, at]
            to.free_last[p, at] = s.free_last[p, at]
    for r in range(len(s.times_n)):
        to.times_n[r] = s.times_n[r]
        for at in range(s.times_n[r]):
            to.times[r, at] = s.times[r, at]
            to.levels[r, at] = s.levels[r, at]
    for job in range(len(s.done)):
        to.done[job] = s.done[job]
    for at in range(len(s.totals)):
        to.totals[at] = s.totals[at]


@part
def resume(point: State, now: State, to: State, order: Ints, first: int) -> None:
    """Go back to a point: what was placed before it lies where it lies now, the rest nowhere."""
    keep(point, to)
    for v in range(len(to.places)):
        to.places[v] = now.places[v]
    for at in range(len(to.starts)):
        to.starts[at] = now.starts[at]
        to.people[at] = now.people[at]
    for at in range(first, len(order)):
        to.places[order[at]]["state"] = OPEN

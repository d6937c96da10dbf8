"""The schedule at which a search stands, and the next one, reckoned from where their orders part.

A schedule is kept as far as it was at some points of its order. What is tried begins at the last of these before the
first step that lies elsewhere, and stops as soon as it must cost more than it may.
"""

from bisect import bisect_right

from stages.planner.arrays import NEVER, UNBOUNDED, Arrays, Ints, Record, Records
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
        self.cost = 0
        clear(arrays, self._kept[0])
        self.attempt(0, UNBOUNDED)
        self.accept()

    def attempt(self, first: int, bound: int, forward: int = -1) -> int:
        """What ``next_order`` costs.

        Parameters
        ----------
        first : int
            Up to this place it is the same as the order now.
        bound : int
            It stops where it must cost more, or where it is so much behind the schedule now at the same place: that is
            hardly ever made good.
        forward : int
            The boat that goes forward in it, the others staying in their order; -1 where it is another move.
        """
        a, s = self._arrays, self._next
        self._since = self._until = 0
        if self._repairs:
            return run(a, s, self.next_order, a.lengths, a.dries, bound)
        self._until = len(self._kept)
        point = self._since = max(bisect_right(self._at[:-1], first) - 1, 0)
        resume(self._kept[point], self.state, s, self.next_order, self._at[point])
        same_from = last_change(self.order, self.next_order) + 1
        for at in range(point, len(self._at) - 1):
            if at > point:
                same = self._at[at] >= same_from
                behind = self._behind(at, -1 if same else forward) if same or forward >= 0 else 0
                if self.cost + behind > bound:
                    return self.cost + behind
                if same and behind == 0 and alike(a, self.state, s, self.order, first, self._at[at]):
                    self._until = at
                    return self._as_before(at)
                keep(s, self._tried[at])
            go_on(a, s, self.next_order, self._at[at], self._at[at + 1], a.lengths, a.dries, bound, False)
            if s.totals[0] > bound:
                break
        return int(s.totals[0])

    def _behind(self, point: int, forward: int) -> int:
        """By how much the next schedule costs more so far; a boat that goes forward against its cost in the end."""
        kept = self._kept[point]
        behind = int(self._next.totals[0] - kept.totals[0])
        if forward >= 0:
            job = self._arrays.jobs[forward]
            behind += cost_of_boat(job, kept.done[forward]) - cost_of_boat(job, self.state.done[forward])
        return behind

    def _as_before(self, point: int) -> int:
        """All that comes behind a point lies as it does now."""
        follow(self.state, self._next, self.order, self._at[point], self._arrays.steps)
        return int(self._next.totals[0])

    def accept(self) -> None:
        """Stand where the last attempt, run to its end, led."""
        self.cost = int(self._next.totals[0])
        self.state, self._next = self._next, self.state
        self.order, self.next_order = self.next_order, self.order
        for at in range(self._since + 1, self._until):
            self._kept[at], self._tried[at] = self._tried[at], self._kept[at]


def _repairs(arrays: Arrays) -> bool:
    """Whether a lag may put off what is placed already: then every schedule is built up from the beginning."""
    links = arrays.links
    hard = (links["most"] != NEVER) & (links["sanding"] == 0)
    untied = (links["first"] == 0) & (links["least"] != NEVER)
    return bool((hard | untied).any())


@part
def cost_of_boat(job: Record, done: int) -> int:
    """What a boat costs that is ready at a slot."""
    tardy = max(0, done - job["due"]) if job["due"] != NEVER else 0
    return int(job["weight"] * tardy + job["flow"] * max(0, done))


@part
def last_change(order: Ints, other: Ints) -> int:
    """The last place at which two orders differ; -1 where there is none."""
    at = len(order) - 1
    while at >= 0 and order[at] == other[at]:
        at -= 1
    return at


@part
def alike(a: Arrays, s: State, other: State, order: Ints, first: int, last: int) -> bool:
    """Whether the steps from one place in the order to another lie the same in two schedules."""
    for at in range(first, last):
        v = order[at]
        one, two = s.places[v], other.places[v]
        if one["state"] != two["state"] or one["start"] != two["start"] or one["sanding"] != two["sanding"]:
            return False
        if one["ready"] != two["ready"] or (one["sanding"] > 0 and one["sanding_by"] != two["sanding_by"]):
            return False
        for sitting in range(a.steps[v]["sit_at"], a.steps[v]["sit_at"] + a.steps[v]["sit_n"]):
            if s.starts[sitting] != other.starts[sitting] or s.people[sitting] != other.people[sitting]:
                return False
    return True


@part
def follow(now: State, to: State, order: Ints, first: int, steps: Records) -> None:
    """Place what comes from a place in the order on where it lies now."""
    for at in range(first, len(order)):
        v = order[at]
        to.places[v] = now.places[v]
        for sitting in range(steps[v]["sit_at"], steps[v]["sit_at"] + steps[v]["sit_n"]):
            to.starts[sitting] = now.starts[sitting]
            to.people[sitting] = now.people[sitting]
    for job in range(len(now.done)):
        to.done[job] = now.done[job]
    for at in range(len(now.totals)):
        to.totals[at] = now.totals[at]


@part
def keep(s: State, to: State) -> None:
    """Write down who is free, what is taken and what it costs so far."""
    for p in range(len(s.free_n)):
        to.free_n[p] = s.free_n[p]
        for at in range(s.free_n[p]):
            to.free_first[p, at] = s.free_first[p, at]
            to.free_last[p, at] = s.free_last[p, at]
        for day in range(s.free_days.shape[1]):
            to.free_days[p, day] = s.free_days[p, day]
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

"""Problems that are job shops at heart: chains of operations, each on one machine that takes one at a time, no people.

For these the neighbourhoods of `stages.planner.tabu` beat any search over orders of placing.
"""

from dataclasses import replace
from functools import cached_property
from itertools import pairwise
from random import Random

import numpy as np

from stages.planner.arrays import Ints
from stages.planner.cost import cost_of
from stages.planner.problem import Held, Problem, Since
from stages.planner.schedule import Placed, Schedule, Sitting

AT_ONCE = 2000  # rounds between two looks at the time
STALE = 6_000  # rounds without a better plan until it starts anew from a good one
GOOD = 6
SHAKES = (5, 40)
ALIKE = 0.1  # share of the operations with another follower up to which two plans count as one


def is_job_shop(problem: Problem) -> bool:
    """Whether a problem is one: makespan alone counts, every capacity is one, links chain the operations of a job."""
    steps, links = problem.steps, problem.links
    weights = problem.weights
    return (
        weights.makespan > 0
        and not problem.kept
        and all(job.flow == 0 and (job.due is None or job.weight == 0) for job in problem.jobs)
        and all(resource.capacity == 1 for resource in problem.resources)
        and all(
            step.skill is None
            and step.weather is None
            and step.since is None
            and not step.begun
            and not step.dry
            and not step.holds
            and len(step.sittings) == 1
            and [use.held for use in step.uses] == [Held.HANDS]
            for step in steps
        )
        and all(link.since is not Since.START and link.least == 0 and link.most is None for link in links)
        and len({link.before for link in links}) == len(links) == len({link.after for link in links})
    )


class JobShopSearch:
    """A tabu search that starts anew from one of its best plans, shaken, when it finds no better one.

    Parameters
    ----------
    problem : Problem
        See `is_job_shop`.
    start : Schedule
        Where it begins.
    seed : int
        Where chance begins.
    """

    def __init__(self, problem: Problem, start: Schedule, seed: int) -> None:
        from stages.planner import tabu  # compiled functions take a third of a second to import

        self.problem, self.random, self._tabu = problem, Random(seed), tabu
        number = {step.key: at for at, step in enumerate(problem.steps)}
        machines = {resource.key: at for at, resource in enumerate(problem.resources)}
        n = len(number)
        self.lengths = np.array([step.labour for step in problem.steps], np.int64)
        self.machine = np.array([machines[step.uses[0].resource] for step in problem.steps], np.int64)
        self.jp, self.js = np.full((2, n), -1, np.int64)
        for link in problem.links:
            self.jp[number[link.after]], self.js[number[link.before]] = number[link.before], number[link.after]
        self.state = np.full((tabu.ROWS, n), -1, np.int64)
        starts = [start.by_step[step.key].start for step in problem.steps]
        for machine in range(len(machines)):
            row = sorted(np.flatnonzero(self.machine == machine).tolist(), key=lambda v: (starts[v], v))
            for before, after in pairwise(row):
                self.state[tabu.MS, before], self.state[tabu.MP, after] = after, before
        self.least = tabu.measure(self.state, self.lengths, self.jp, self.js)
        self.best = self.state.copy()
        self.good: list[tuple[int, Ints]] = [(self.least, self.best.copy())]
        self._fresh(self.state)

    def _fresh(self, state: Ints) -> None:
        """Walk on from a state, with nothing forbidden."""
        self.state = state.copy()
        n = len(self.lengths)
        self.forbidden = np.zeros((n, n), np.int64)
        self.rounds, self.stale, self.least_here = 1, 0, 1 << 60
        self.best_here = state.copy()

    def go(self, rounds: int = AT_ONCE) -> bool:
        """Walk some rounds; whether a better plan was found."""
        n, machines = len(self.lengths), int(self.machine.max()) + 1
        least, met = self._tabu.search(
            self.state, self.best_here, self.lengths, self.jp, self.js, self.machine, self.forbidden,
            self.rounds, rounds, self.least_here, 10 + n // machines // machines, self.random.randrange(1 << 30),
        )  # fmt: skip
        self.rounds += rounds
        self.stale = rounds - met if least < self.least_here else self.stale + rounds
        self.least_here = least
        better = least < self.least
        if better:
            self.least, self.best = least, self.best_here.copy()
        if self.stale >= STALE:
            self._anew()
        return better

    def _remember(self) -> None:
        """Keep the best of this walk among the good ones, in the place of one that is much like it or of the worst."""
        row, least = self.best_here[self._tabu.MS], self.least_here
        alike = [one for one in self.good if np.mean(one[1][self._tabu.MS] != row) <= ALIKE]
        if any(one[0] < least for one in alike):
            return
        others = [one for one in self.good if not any(one is like for like in alike)]
        self.good = sorted([*others, (least, self.best_here.copy())], key=lambda one: one[0])[:GOOD]

    def _anew(self) -> None:
        self._remember()
        state = self.random.choice(self.good)[1].copy()
        path = np.empty(len(self.lengths), np.int64)
        for _ in range(self.random.randrange(*SHAKES)):  # swapping neighbours on a critical path never makes a ring
            last = self._tabu.measure(state, self.lengths, self.jp, self.js)
            size = self._tabu.critical(state, self.lengths, self.jp, last, path)
            pairs = [(u, v) for u, v in pairwise(path[:size].tolist()) if self.machine[u] == self.machine[v]]
            if pairs:
                u, v = self.random.choice(pairs)
                self._tabu.move(state, u, v, True)
        self._tabu.measure(state, self.lengths, self.jp, self.js)
        self._fresh(state)

    @cached_property
    def bound(self) -> int:
        """No makespan is below it: the longest job, or a machine's work with the least before and behind it."""
        heads, tails = np.zeros((2, len(self.lengths)), np.int64)
        for row, befores in ((heads, self.jp), (tails, self.js)):
            for v in range(len(row)):
                before = befores[v]
                while before >= 0:
                    row[v] += self.lengths[before]
                    before = befores[before]
        longest = int((heads + self.lengths + tails).max())
        loads = [
            int(heads[on].min() + self.lengths[on].sum() + tails[on].min())
            for on in (self.machine == machine for machine in set(self.machine.tolist()))
        ]
        return max(longest, *loads)

    def schedule(self) -> Schedule:
        """The best plan so far."""
        placed = []
        for step, start in zip(self.problem.steps, self.best[self._tabu.HEAD].tolist(), strict=True):
            end = start + step.labour
            sitting = Sitting(step=step.key, number=1, start=start, end=end)
            placed.append(Placed(step=step.key, sittings=(sitting,), start=start, hands_end=end, ready=end))
        return replace(Schedule(placed=tuple(placed)), cost=cost_of(self.problem, placed))

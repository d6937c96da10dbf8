"""Priority rules: by what measure a step, or a boat, is more pressing than another.

Each gives every step a number, the lowest the most pressing. The measures are those that Kolisch and Hartmann 1999
(section 3) and, for weighted tardiness, Vepsalainen and Morton 1987 (Priority rules for job shops with weighted
tardiness costs) compare; no one rule is best everywhere, so all are tried.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stages.planner.arrays import NEVER, Arrays, Ints

Floats = NDArray[np.float64]

_FAR = 1e9  # the promise of a boat that has none


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What the rules weigh.

    Parameters
    ----------
    job : ndarray of int
        Of each step its boat.
    rest : ndarray
        Of each step, slots from its start until its boat is ready, nights reckoned in, queues not.
    due, weight, work, length : ndarray
        Of each step's boat: promise, what a slot weighs, hands-on slots left, and the longest ``rest`` of its steps.
    """

    job: Ints
    rest: Floats
    due: Floats
    weight: Floats
    work: Floats
    length: Floats

    @classmethod
    def of(cls, arrays: Arrays) -> "Figures":
        """Reckon them from a problem's arrays."""
        from stages.planner import graph  # compiled functions take a third of a second to import

        steps, jobs = arrays.steps.copy(), arrays.jobs
        lengths = np.rint(arrays.lengths * _stretch(arrays)).astype(np.int64)
        graph.measure_tails(steps, arrays.links, arrays.outs, lengths, arrays.dries, arrays.order)
        job, at, count = steps["job"], steps["sit_at"], steps["sit_n"]
        rest = steps["tail"] + arrays.dries + _sums(lengths, at, count)
        longest = np.zeros(len(jobs))
        np.maximum.at(longest, job, rest)
        work = np.bincount(job, _sums(arrays.lengths, at, count), len(jobs))
        weight = jobs["weight"] * (jobs["due"] != NEVER) + jobs["flow"]
        return cls(
            job=job,
            rest=rest.astype(np.float64),
            due=np.where(jobs["due"] == NEVER, _FAR, jobs["due"])[job],
            weight=np.maximum(weight, 0.01)[job],
            work=np.maximum(work, 1.0)[job],
            length=longest[job],
        )

    @property
    def mean_length(self) -> float:
        """Mean of ``length``, one slot at least; also where there is no step."""
        return max(1.0, float(self.length.sum()) / max(1, len(self.length)))


def _sums(values: Ints, at: Ints, count: Ints) -> Ints:
    total = np.concatenate(([0], np.cumsum(values)))
    summed: Ints = total[at + count] - total[at]
    return summed


def _stretch(arrays: Arrays) -> float:
    """How many slots of the calendar go to one in which a person works."""
    people = len(arrays.free_n)
    among = np.arange(arrays.free_first.shape[1])[None, :] < arrays.free_n[:, None]
    hours = int(((arrays.free_last - arrays.free_first) * among).sum())
    return max(1.0, people * arrays.horizon / hours) if hours else 1.0


def _urgency(figures: Figures, length: Floats, look_ahead: float) -> Floats:
    """Apparent urgency (Vepsalainen and Morton 1987): weight for work, less the more slack there is."""
    slack = np.maximum(figures.due - length, 0.0)
    return -np.log(figures.weight / figures.work) + slack / (look_ahead * figures.mean_length)


STEP_RULES: Mapping[str, Callable[[Figures], Floats]] = {
    "latest start": lambda f: f.due - f.rest,
    "promise": lambda f: f.due - f.rest / _FAR,
    "longest rest": lambda f: -f.rest,
    "slack for its weight": lambda f: (f.due - f.rest) / np.where(f.due > f.rest, f.weight, 1 / f.weight),
    "urgency": lambda f: _urgency(f, f.rest, 1.0),
}
BOAT_RULES: Mapping[str, Callable[[Figures], Floats]] = {
    "boats by promise": lambda f: f.due,
    "boats by slack": lambda f: f.due - f.length,
    "boats by work for their weight": lambda f: f.work / f.weight,
    "boats by urgency, near": lambda f: _urgency(f, f.length, 0.3),
    "boats by urgency, far": lambda f: _urgency(f, f.length, 1.0),
}


def ranks(arrays: Arrays) -> Iterator[tuple[str, Ints]]:
    """Each rule's name and the rank that it gives every step."""
    figures = Figures.of(arrays)
    for name, rule in STEP_RULES.items():
        yield name, rank_by(rule(figures), -figures.rest)
    for name, rule in BOAT_RULES.items():
        boats = np.lexsort((figures.job, rule(figures)))
        by_boat = np.empty(len(boats), np.int64)
        by_boat[boats] = np.arange(len(boats))
        first = np.full(int(figures.job.max(initial=0)) + 1, len(boats))
        np.minimum.at(first, figures.job, by_boat)
        yield name, rank_by(first[figures.job], -figures.rest)


def rank_by(measure: Floats | Ints, then: Floats) -> Ints:
    """Every step's rank by a measure, and where that is the same by another."""
    rank = np.empty(len(then), np.int64)
    rank[np.lexsort((then, measure))] = np.arange(len(then))
    return rank

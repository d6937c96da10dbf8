"""The days outdoors that a replay goes through: those that are known, and those that are drawn."""

from bisect import bisect_right
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stages.planner.arrays import Ints
from stages.planner.noise import Noise, Wet, dry_days
from stages.planner.problem import Problem
from stages.planner.timegrid import Spans


class Days(NamedTuple):
    """By key in `Problem.weather` and span: where it lies, and whether the plan takes it for dry."""

    first: Ints
    last: Ints
    n: Ints
    planned: NDArray[np.bool_]
    drawn_at: tuple[int, ...]  # by key: the first span that is drawn
    drawn_by: tuple[Wet | None, ...]
    noise: Noise

    @classmethod
    def of(cls, problem: Problem, noise: Noise) -> "Days":
        """All spans that may be dry."""
        drawn_by = tuple(next((wet for wet in noise.weather if key in wet.days), None) for key in problem.weather)
        drawn = [wet.days[key] if wet else () for key, wet in zip(problem.weather, drawn_by, strict=True)]
        known = [_before(spans, days) for spans, days in zip(problem.weather.values(), drawn, strict=True)]
        rows = [(*spans, *days) for spans, days in zip(known, drawn, strict=True)]
        first, last = np.zeros((2, len(rows), max((len(row) for row in rows), default=0)), np.int64)
        planned = np.zeros(first.shape, np.bool_)
        for at, (row, spans) in enumerate(zip(rows, problem.weather.values(), strict=True)):
            first[at, : len(row)], last[at, : len(row)] = np.array(row, np.int64).reshape(-1, 2).T
            planned[at, : len(row)] = [_covered(spans, span) for span in row]
        return cls(
            first=first,
            last=last,
            n=np.array([len(row) for row in rows], np.int64),
            planned=planned,
            drawn_at=tuple(len(spans) for spans in known),
            drawn_by=drawn_by,
            noise=noise,
        )

    def draw(self, draw: np.random.Generator) -> NDArray[np.bool_]:
        """Which spans are dry in one replay: the same days for all keys that share them."""
        dry = self.planned.copy()
        days = [dry_days(wet, draw) for wet in self.noise.weather]
        for at, wet in enumerate(self.drawn_by):
            if wet is not None:
                drawn = next(found for one, found in zip(self.noise.weather, days, strict=True) if one is wet)
                dry[at, self.drawn_at[at] : self.n[at]] = drawn
        return dry


def _before(spans: Spans, days: Spans) -> Spans:
    return tuple(span for span in spans if not days or span[1] <= days[0][0])


def _covered(spans: Spans, span: tuple[int, int]) -> bool:
    """Whether one of the plan's spans holds a day's."""
    at = bisect_right(spans, (span[0], span[1])) - 1
    return any(first <= span[0] and span[1] <= last for first, last in spans[max(0, at) : at + 2])

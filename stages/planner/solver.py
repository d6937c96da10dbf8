"""The one door to OR-Tools: models in a few plain words, asked and answered.

What was asked, what was answered and how it ended are three types; running out of time is never called proved.
Presolve is left as it comes: two of its switches together crash the solver's native code.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from ortools.sat.python import cp_model

Expr = Any  # a number, a variable, or a sum of them: OR-Tools carries no types that tell them apart


class Ended(StrEnum):
    """How a search ended."""

    PROVED = "proved"  # the answer is as good as any
    FOUND = "found"  # an answer, and the time ran out
    NOTHING = "nothing"  # no answer, and the time ran out
    IMPOSSIBLE = "impossible"  # there is no answer
    REFUSED = "refused"  # the model makes no sense


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How long and how to search.

    Parameters
    ----------
    seconds : float or None
        By the clock on the wall.
    deterministic : float or None
        By the solver's own count of its work: the same each time with one worker, about a second each.
    workers, seed : int
        Threads, and where chance begins.
    """

    seconds: float | None = None
    deterministic: float | None = None
    workers: int = 1
    seed: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What was found: how it ended, what it costs, no answer costs less than the bound, and each variable's value."""

    how: Ended
    cost: int | None = None
    bound: int | None = None
    value: Callable[[Expr], int] = field(default=lambda _: 0)


ENDS = {
    cp_model.OPTIMAL: Ended.PROVED,
    cp_model.FEASIBLE: Ended.FOUND,
    cp_model.UNKNOWN: Ended.NOTHING,
    cp_model.INFEASIBLE: Ended.IMPOSSIBLE,
    cp_model.MODEL_INVALID: Ended.REFUSED,
}


class Draft:
    """A model being written; every variable comes with the value that it has in the plan so far."""

    def __init__(self) -> None:
        self._model = cp_model.CpModel()

    def number(self, low: int, high: int, now: int) -> Expr:
        """A whole number between two others."""
        made = self._model.new_int_var(low, high, "")
        self._model.add_hint(made, now)
        return made

    def truth(self, now: bool) -> Expr:
        """A yes or no."""
        made = self._model.new_bool_var("")
        self._model.add_hint(made, now)
        return made

    def at_least(self, left: Expr, right: Expr, *, when: Iterable[Expr] = ()) -> None:
        """The left is no less than the right, where all of the truths hold."""
        self._enforce(self._model.add(left >= right), when)

    def equal(self, left: Expr, right: Expr, *, when: Iterable[Expr] = ()) -> None:
        """Both are the same, where all of the truths hold."""
        self._enforce(self._model.add(left == right), when)

    def exactly_one(self, truths: Sequence[Expr]) -> None:
        """One of them holds."""
        self._model.add_exactly_one(truths)

    def no(self, truth: Expr) -> Expr:
        """The contrary of a truth."""
        return truth.negated()

    def span(self, start: Expr, size: Expr, end: Expr, *, when: Expr = None) -> Expr:
        """The slots from a start to an end; only there where the truth holds."""
        if when is None:
            return self._model.new_interval_var(start, size, end, "")
        return self._model.new_optional_interval_var(start, size, end, when, "")

    def block(self, start: int, end: int) -> Expr:
        """Slots that lie where they lie."""
        return self._model.new_fixed_size_interval_var(start, end - start, "")

    def one_at_a_time(self, spans: Sequence[Expr]) -> None:
        """No two of them share a slot."""
        self._model.add_no_overlap(spans)

    def together_at_most(self, spans: Sequence[Expr], amounts: Sequence[int], capacity: int) -> None:
        """In no slot do they take more than there is."""
        self._model.add_cumulative(spans, amounts, capacity)

    def minimise(self, cost: Expr) -> None:
        """What is to be as little as can be."""
        self._model.minimize(cost)

    def solve(self, asked: Asked, on_better: Callable[[Callable[[Expr], int]], None] | None = None) -> Answered:
        """Search.

        Parameters
        ----------
        asked : Asked
            For how long, by how many, from which seed.
        on_better : callable or None
            Called with a reader of the variables whenever a better answer is found.

        Returns
        -------
        Answered
            The best that was found, and how the search ended.
        """
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = asked.workers
        solver.parameters.random_seed = asked.seed
        if asked.seconds is not None:
            solver.parameters.max_time_in_seconds = max(0.01, asked.seconds)
        if asked.deterministic is not None:
            solver.parameters.max_deterministic_time = asked.deterministic
        how = ENDS[solver.solve(self._model, Heard(on_better) if on_better else None)]
        if how not in (Ended.PROVED, Ended.FOUND):
            return Answered(how=how)
        found = round(solver.objective_value), round(solver.best_objective_bound)
        return Answered(how=how, cost=found[0], bound=found[1], value=solver.value)

    @staticmethod
    def _enforce(constraint: Any, when: Iterable[Expr]) -> None:
        truths = list(when)
        if truths:
            constraint.only_enforce_if(truths)


class Heard(cp_model.CpSolverSolutionCallback):
    """Hands each better answer on."""

    def __init__(self, on_better: Callable[[Callable[[Expr], int]], None]) -> None:
        super().__init__()
        self._on_better = on_better

    def on_solution_callback(self) -> None:
        """Called by the solver."""
        self._on_better(self.value)

"""Local search over the order of the steps: a better plan than any rule's, for as long as it may take."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from stages.planner.arrays import NEVER, Arrays, Ints
from stages.planner.decode import order_by, schedule_of
from stages.planner.listplan import best_rule
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a search found: the plan, the order of the steps that gives it, and how many orders were tried."""

    schedule: Schedule
    order: tuple[str, ...]
    rounds: int


def improve_order(
    problem: Problem,
    *,
    seed: int,
    rounds: int | None = None,
    go_on: Callable[[], bool] | None = None,
    start: Schedule | None = None,
) -> Found:
    """Search for a better order of the steps.

    Parameters
    ----------
    problem : Problem
        Screened.
    seed : int
        The same seed and rounds, the same plan.
    rounds : int, optional
        Orders to try at most; one of ``rounds`` and ``go_on`` is needed.
    go_on : callable, optional
        Asked before each; the search ends when it says no.
    start : Schedule, optional
        A plan to begin from; else that of the best rule.

    Returns
    -------
    Found
        Never worse than its start.
    """
    from stages.planner.search import Search  # compiled functions take a third of a second to import

    if rounds is None and go_on is None:
        raise ValueError("a search needs rounds, or somebody who says when it ends")
    arrays = Arrays.of(problem)
    search = Search(arrays, first_order(problem, arrays, start), seed)
    tried = 0
    while (rounds is None or tried < rounds) and (go_on is None or go_on()):
        search.round()
        tried += 1
    schedule = schedule_of(problem, arrays, search.best_order)
    if start is not None and price(start) <= price(schedule):
        schedule = start
    return Found(schedule=schedule, order=tuple(problem.steps[v].key for v in search.best_order), rounds=tried)


def price(schedule: Schedule) -> tuple[int, int]:
    """By what plans of one problem are compared: steps left out, then the cost."""
    return len(schedule.left), schedule.cost.total


def first_order(problem: Problem, arrays: Arrays, start: Schedule | None) -> Ints:
    """The order of the starts of a plan, or that of the best rule."""
    if start is None:
        return best_rule(arrays).order
    placed = [start.by_step.get(step.key) for step in problem.steps]
    starts = np.array([NEVER if one is None else one.start for one in placed], np.int64)
    return order_by(arrays, starts, chained=False)

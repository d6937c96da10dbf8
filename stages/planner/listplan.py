"""The plan that always comes, at once: every priority rule is tried, and the best schedule stands."""

from dataclasses import replace
from typing import NamedTuple

from stages.planner.arrays import UNBOUNDED, Arrays, Ints
from stages.planner.decode import order_by, schedule_of
from stages.planner.problem import Problem
from stages.planner.rules import ranks
from stages.planner.schedule import Schedule
from stages.planner.screen import screen


class Best(NamedTuple):
    """The rule that did best, the order that it gives, and what that costs."""

    rule: str
    order: Ints
    cost: int


def list_plan(problem: Problem) -> Schedule:
    """Plan by the priority rule that does best here.

    Parameters
    ----------
    problem : Problem
        What is to be planned.

    Returns
    -------
    Schedule
        Of all that can be placed; the rest is in ``left`` with the reason.
    """
    screened = screen(problem)
    arrays = Arrays.of(screened.problem)
    plan = schedule_of(screened.problem, arrays, best_rule(arrays).order)
    return replace(plan, left=screened.left + plan.left)


def best_rule(arrays: Arrays) -> Best:
    """Try every rule; the first of those that do equally well."""
    from stages.planner.serial import run  # compiled functions take a third of a second to import
    from stages.planner.state import State

    state = State.of(arrays)
    best = Best("", arrays.order, UNBOUNDED)
    for rule, rank in ranks(arrays):
        order = order_by(arrays, rank, chained=True)
        cost = run(arrays, state, order, arrays.lengths, arrays.dries, best.cost)
        if cost < best.cost:
            best = Best(rule, order, cost)
    return best

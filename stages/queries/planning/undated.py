"""Why no day can be named for a hull: the step of it that has no place in the plan, for the shop's own eyes."""

from collections.abc import Sequence

from stages.planner.problem import Problem
from stages.planner.schedule import Left, Schedule
from stages.queries.planning.told import Why
from stages.queries.planning.why import STEP


def undated(problem: Problem, schedule: Schedule) -> dict[str, tuple[Why, ...]]:
    """By hull of which a step has no place in the plan, why: of the first such step that waits for no other one.

    Of steps that wait for one another in a ring, the first.
    """
    steps = {step.key: step for step in problem.steps}
    found: dict[str, tuple[Why, ...]] = {}
    for left in (*first_hand(problem, schedule.left), *schedule.left):
        step = steps[left.step]
        if step.job not in found:
            why = Why(text=left.text, values=left.values)
            found[step.job] = (Why(text=STEP, values={"step": step.title or step.key}), why)
    return found


def first_hand(problem: Problem, left: Sequence[Left]) -> tuple[Left, ...]:
    """Of what is left out, what nothing before it is."""
    gone = {one.step for one in left}
    waiting = {link.after for link in problem.links if link.least is not None and link.before in gone}
    return tuple(one for one in left if one.step not in waiting)

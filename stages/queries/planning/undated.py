"""Why no day can be named for a hull: the step of it that has no place in the plan, for the shop's own eyes."""

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
    for left in (*first_hand(problem, schedule), *schedule.left):
        step = steps[left.step]
        if step.job not in found:
            why = Why(text=left.text, values=left.values)
            found[step.job] = (Why(text=STEP, values={"step": step.title or step.key}), why)
    return found


def first_hand(problem: Problem, schedule: Schedule) -> tuple[Left, ...]:
    """What is left out though nothing before it is."""
    gone = {left.step for left in schedule.left}
    waiting = {link.after for link in problem.links if link.least is not None and link.before in gone}
    return tuple(left for left in schedule.left if left.step not in waiting)

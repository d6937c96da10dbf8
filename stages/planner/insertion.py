"""When one boat more could be done: behind all others, or among them by its own promise."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stages.planner.compare import Moved, finishes, moved
from stages.planner.decode import decode
from stages.planner.problem import Problem
from stages.planner.schedule import Left, Schedule
from stages.planner.screen import screen, without
from stages.planner.whatif import Planned


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a boat fits into a plan.

    Parameters
    ----------
    start, done : int or None
        Slots from which it stands at a station and of its finish; None where a step of it has no place.
    moved : tuple of Moved
        The other boats that are done at another slot for its sake, those that lose most first.
    left : tuple of Left
        Its own steps that have no place, with the reasons.
    plan : Schedule
        The plan with it.
    """

    start: int | None
    done: int | None
    moved: tuple[Moved, ...]
    left: tuple[Left, ...]
    plan: Schedule


def behind(problem: Problem, job: str, plan: Schedule) -> Fit:
    """Let a boat take only what the others leave: nobody waits for it.

    Parameters
    ----------
    problem : Problem
        With the boat.
    job : str
        Its key.
    plan : Schedule
        A plan of the others; they keep its order.
    """
    screened = screen(problem)
    others = sorted((one for one in plan.placed), key=lambda one: (one.start, one.ready, one.step))
    known = {step.key for step in screened.problem.steps}
    own = [step.key for step in screened.problem.steps if step.job == job]
    order = [one.step for one in others if one.step in known and one.step not in own]
    alone = without(screened.problem, own)
    before = finishes(alone, decode(alone, order))
    return _fit(problem, job, before, decode(screened.problem, [*order, *own]), screened.left)


def promised(problem: Problem, job: str, due: int, weight: int, plan: Planned) -> Fit:
    """Let a boat stand among the others with a promise of its own.

    Parameters
    ----------
    problem : Problem
        With the boat.
    job : str
        Its key.
    due, weight : int
        The slot that it is promised for, and what a slot of delay weighs.
    plan : callable
        How plans are made; the same way with and without the boat.
    """
    jobs = tuple(replace(one, due=due, weight=weight) if one.key == job else one for one in problem.jobs)
    screened = screen(replace(problem, jobs=jobs))
    alone = without(screened.problem, [step.key for step in screened.problem.steps if step.job == job])
    return _fit(problem, job, finishes(alone, plan(alone)), plan(screened.problem), screened.left)


def _fit(problem: Problem, job: str, before: dict[str, int | None], plan: Schedule, screened: Sequence[Left]) -> Fit:
    own = {step.key for step in problem.steps if step.job == job}
    left = tuple(one for one in (*screened, *plan.left) if one.step in own)
    at_stations = {step.key for step in problem.steps if step.key in own and step.uses}
    starts = [placed.start for placed in plan.placed if placed.step in at_stations]
    after = finishes(problem, plan)
    return Fit(
        start=min(starts, default=None),
        done=None if left else after.get(job),
        moved=moved(before, {key: end for key, end in after.items() if key != job}),
        left=left,
        plan=plan,
    )

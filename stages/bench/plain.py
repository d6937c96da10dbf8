"""The peer of the improver: the whole problem given to CP-SAT in the best encoding we know, from the same start."""

from collections.abc import Callable

from stages.planner.ground import Ground
from stages.planner.model import Model
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.solver import Asked, Ended


def plain(
    problem: Problem, start: Schedule, asked: Asked, on_better: Callable[[Schedule], None]
) -> tuple[Schedule, Ended]:
    """Solve the problem whole, with the start as a complete hint; each better plan is told as it is found."""
    ground = Ground(problem)
    model = Model(ground, start, ground.movable)
    answered = model.draft.solve(asked, lambda value: on_better(model.read(value)))
    return (start if answered.cost is None else model.read(answered.value)), answered.how

"""Two plans beside each other: which boats are done sooner, and which later."""

from dataclasses import dataclass

from stages.planner.problem import Problem
from stages.planner.schedule import Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A boat that is done at another slot than before; None where one of the plans has no place for all of it."""

    job: str
    was: int | None
    now: int | None

    @property
    def later(self) -> int:
        """Slots later, negative for sooner; zero where one of them is unknown."""
        return 0 if self.was is None or self.now is None else self.now - self.was


def finishes(problem: Problem, schedule: Schedule) -> dict[str, int | None]:
    """By boat, when the last of its steps is ready; None where a step of it has no place."""
    found: dict[str, int | None] = {}
    for step in problem.steps:
        placed = schedule.by_step.get(step.key)
        sofar = found.get(step.job, placed.ready if placed else None)
        found[step.job] = None if placed is None or sofar is None else max(sofar, placed.ready)
    return found


def moved(before: dict[str, int | None], after: dict[str, int | None]) -> tuple[Moved, ...]:
    """The boats of both plans that are done at another slot, those that lose most first.

    Parameters
    ----------
    before, after : dict of str to int or None
        By boat, when it is done (`finishes`), in slots of one start.
    """
    both = [Moved(job=job, was=was, now=after[job]) for job, was in before.items() if job in after]
    return tuple(sorted((one for one in both if one.was != one.now), key=lambda one: (-one.later, one.job)))

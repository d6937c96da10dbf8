"""Which of the places of a station each step stands on: a plan says how many are taken, people ask which one."""

from collections.abc import Mapping

from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.verify import held

Stays = dict[str, tuple[int, ...]]


def lanes(problem: Problem, schedule: Schedule, resource: str, standing: Mapping[str, int] | None = None) -> Stays:
    """Give each step that holds a resource its places, from 1.

    Parameters
    ----------
    problem, schedule : Problem, Schedule
        A plan that `stages.planner.verify` finds nothing against.
    resource : str
        Key of the resource.
    standing : mapping of str to int, optional
        By boat, the place that it stands on now.

    Returns
    -------
    dict of str to tuple of int
        By step, as many places as it takes. Two steps on one place never overlap: intervals in the order of their
        starts need no more colours than overlap at once (Golumbic 1980, Algorithmic Graph Theory and Perfect Graphs,
        section 8.2). Only facts that overfill a resource stand on numbers beyond its capacity.
    """
    jobs = {step.key: step.job for step in problem.steps}
    capacity = next(one.capacity for one in problem.resources if one.key == resource)
    uses = {step.key: use for step in problem.steps for use in step.uses if use.resource == resource}
    stays = [(*held(schedule.by_step[key], use.held), key) for key, use in uses.items() if key in schedule.by_step]
    free_from = dict.fromkeys(range(1, capacity + 1), -(10**9))
    last = dict(standing or {})
    found: Stays = {}
    for start, end, key in sorted(stay for stay in stays if stay[0] < stay[1]):
        taken = _pick(free_from, start, last.get(jobs[key]), uses[key].amount)
        for place in taken:
            free_from[place] = end
        last[jobs[key]] = taken[0]
        found[key] = taken
    return found


def _pick(free_from: Mapping[int, int], start: int, liked: int | None, amount: int) -> tuple[int, ...]:
    """The places to take: the one that the boat knows, then those that were left last, so that others stay free."""
    free = [place for place, at in free_from.items() if at <= start]
    free.sort(key=lambda place: (place != liked, -free_from[place], place))
    beyond = range(max(free_from, default=0) + 1, max(free_from, default=0) + 1 + amount)
    return tuple([*free, *beyond][:amount])

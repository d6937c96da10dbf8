"""How much of a station and of a person's hours a plan takes, and when there is room again."""

from collections.abc import Iterable
from itertools import accumulate

from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.timegrid import Spans
from stages.planner.verify import held


def share_taken(problem: Problem, schedule: Schedule, resource: str, start: int, end: int) -> float:
    """The share of a resource's room in [start, end) that is taken, 0 to 1 (over 1 where facts overfill it).

    Parameters
    ----------
    problem, schedule : Problem, Schedule
        The plan.
    resource : str
        Key of the resource.
    start, end : int
        Slots; nights count, as a hull takes its place at night too.
    """
    room = _capacity(problem, resource) * (end - start)
    taken = sum(amount * _overlap(a, b, start, end) for a, b, amount in _stays(problem, schedule, resource))
    return taken / room if room else 0.0


def share_sat(problem: Problem, schedule: Schedule, person: str, start: int, end: int) -> float | None:
    """The share of a person's hours in [start, end) that sittings take; None where that person has none."""
    works = next(one.works for one in problem.people if one.key == person)
    hours = sum(_overlap(a, b, start, end) for a, b in works)
    sat = [sitting for placed in schedule.placed for sitting in placed.sittings if sitting.person == person]
    return sum(_overlap(one.start, one.end, start, end) for one in sat) / hours if hours else None


def first_free(problem: Problem, schedule: Schedule, resource: str, length: int) -> int | None:
    """The first slot from which one place of a resource stays free for so many slots; None before the plan's end."""
    capacity = _capacity(problem, resource)
    free = 0
    for start, end in _full(capacity, _stays(problem, schedule, resource)):
        if start - free >= length:
            return free
        free = max(free, end)
    return free if capacity and free < problem.horizon else None


def _capacity(problem: Problem, resource: str) -> int:
    return next(one.capacity for one in problem.resources if one.key == resource)


def _stays(problem: Problem, schedule: Schedule, resource: str) -> list[tuple[int, int, int]]:
    """Start, end and amount of everything that holds a resource from now on."""
    uses = [(step.key, use) for step in problem.steps for use in step.uses if use.resource == resource]
    placed = [(*held(schedule.by_step[key], use.held), use.amount) for key, use in uses if key in schedule.by_step]
    return [(max(0, start), end, amount) for start, end, amount in placed if max(0, start) < end]


def _full(capacity: int, stays: Iterable[tuple[int, int, int]]) -> Spans:
    """The spans in which no place is free."""
    changes: dict[int, int] = {}
    for start, end, amount in stays:
        changes[start] = changes.get(start, 0) + amount
        changes[end] = changes.get(end, 0) - amount
    at = sorted(changes)
    levels = accumulate(changes[slot] for slot in at)
    return tuple((a, b) for a, b, level in zip(at, at[1:], levels, strict=False) if level >= capacity)


def _overlap(a: int, b: int, start: int, end: int) -> int:
    return max(0, min(b, end) - max(a, start))

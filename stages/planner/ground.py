"""What does not move in a search: calendars, weather, links, and what the steps that keep their place take."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from stages.planner.problem import Link, Problem, Step
from stages.planner.schedule import Placed, Schedule
from stages.planner.timegrid import Spans
from stages.planner.verify import held

Levels = NDArray[np.int32]


class Ground:
    """A problem made ready for asking many times.

    Parameters
    ----------
    problem : Problem
        As it is searched.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.steps = {step.key: step for step in problem.steps}
        self.capacity = {resource.key: resource.capacity for resource in problem.resources}
        self.into: dict[str, list[Link]] = defaultdict(list)
        self.out: dict[str, list[Link]] = defaultdict(list)
        for link in problem.links:
            self.into[link.after].append(link)
            self.out[link.before].append(link)
        self.longest_dry = max((step.dry for step in problem.steps), default=0)
        longest = max((length for step in problem.steps for length in step.sittings), default=0)
        self.slots = problem.horizon + longest + self.longest_dry + 1

    @cached_property
    def off(self) -> dict[str, Levels]:
        """By person, 1 in each slot in which they are not there."""
        return {person.key: outside(person.works, self.slots) for person in self.problem.people}

    @cached_property
    def wet(self) -> dict[str, Levels]:
        """By kind of weather, 1 in each slot that is not dry."""
        return {key: outside(spans, self.slots) for key, spans in self.problem.weather.items()}

    @cached_property
    def able(self) -> dict[str, tuple[str, ...]]:
        """By skill, who has it."""
        skills = {step.skill for step in self.problem.steps if step.skill is not None}
        people = self.problem.people
        return {skill: tuple(p.key for p in people if skill in p.skills) for skill in sorted(skills)}

    def sandings(self, step: Step) -> list[int]:
        """How long it may be sanded where windows of it are missed, slots."""
        return (
            [] if step.under_way else sorted({link.sanding for link in self.into[step.key] if link.sanding is not None})
        )

    @cached_property
    def movable(self) -> frozenset[str]:
        """The steps with something left to place; none of those under way in a place that they overfill."""
        facts = [step for step in self.problem.steps if step.under_way]
        taken = Counter(use.resource for step in facts for use in step.uses for _ in range(use.amount))
        full = {key for key, amount in taken.items() if amount > self.capacity[key]}
        stuck = {step.key for step in facts if full & {use.resource for use in step.uses}}
        done = {step.key for step in facts if len(step.begun) == len(step.sittings)}
        return frozenset(self.steps) - stuck - done

    def with_windows(self, free: Iterable[str]) -> frozenset[str]:
        """The steps that can move among those named, and those that hang on one of them by a window."""
        found: set[str] = set()
        edge = list(free)
        while edge:
            key = edge.pop()
            if key not in found and key in self.movable:
                found.add(key)
                edge += [link.after for link in self.out[key] if link.most is not None]
        return frozenset(found)


class Taken:
    """What steps that keep their place take of places and people."""

    def __init__(self, ground: Ground, schedule: Schedule, free: Collection[str]) -> None:
        slots = ground.slots
        changes = {key: np.zeros(slots + 1, np.int32) for key in ground.capacity}
        self.busy = {key: levels.copy() for key, levels in ground.off.items()}
        for placed in schedule.placed:
            if placed.step in free:
                self._begun(ground.steps[placed.step], placed)
                continue
            for use in ground.steps[placed.step].uses:
                start, end = (min(max(at, 0), slots) for at in held(placed, use.held))
                changes[use.resource][start] += use.amount
                changes[use.resource][end] -= use.amount
            self._sit(placed, len(placed.sittings))
        self.room = {key: np.minimum(np.cumsum(change[:-1]), ground.capacity[key]) for key, change in changes.items()}

    def _begun(self, step: Step, placed: Placed) -> None:
        self._sit(placed, len(step.begun))

    def _sit(self, placed: Placed, count: int) -> None:
        for sitting in placed.sittings[:count]:
            if sitting.person is not None:
                self.busy[sitting.person][max(0, sitting.start) : max(0, sitting.end)] = 1


def outside(spans: Spans, slots: int) -> Levels:
    """1 in each slot outside the spans."""
    levels = np.ones(slots, np.int32)
    for start, end in spans:
        levels[max(0, start) : max(0, end)] = 0
    return levels


def runs(levels: Levels, upto: int) -> Iterator[tuple[int, int, int]]:
    """Stretches of one level that is not zero: start, end, level."""
    levels = levels[:upto]
    edges = np.concatenate(([0], np.flatnonzero(np.diff(levels)) + 1, [len(levels)]))
    for start, end in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        if end > start and levels[start]:
            yield start, end, int(levels[start])

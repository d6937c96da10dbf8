"""At which slots a sitting finds hands and weather, and a step its places, between what stays where it is."""

import numpy as np
from numpy.typing import NDArray

from stages.planner.ground import Ground, Taken
from stages.planner.problem import Held, Step

Slots = NDArray[np.int64]


class Reach:
    """How early and how late sittings and steps can start.

    Parameters
    ----------
    ground, taken : Ground, Taken
        The problem, and what stays.
    upto : int
        Nothing starts later.
    """

    def __init__(self, ground: Ground, taken: Taken, upto: int) -> None:
        self.ground, self.taken, self.upto = ground, taken, upto
        self._starts: dict[tuple[object, ...], Slots] = {}

    def settle(self, step: Step, at: int) -> int:
        """The first slot from ``at`` on at which a step finds places, and its first sitting hands and weather."""
        for _ in range(50):
            found = self.sitting(step, step.sittings[0], at) if step.sittings else at
            found = self._room(step, found)
            if found == at:
                break
            at = found
        return at

    def sitting(self, step: Step, length: int, at: int, *, back: bool = False) -> int:
        """The first slot from ``at`` on, or the last up to it, at which a sitting of a step may start."""
        if step.skill is None and step.weather is None:
            return at
        people = () if step.skill is None else self.ground.able[step.skill]
        return _near(self._of(people, step.weather, length), at, back)

    def who(self, step: Step, length: int, first: int, last: int) -> list[str]:
        """The people who could sit through a sitting that starts between two slots."""
        able = self.ground.able[step.skill] if step.skill is not None else ()
        return [
            key
            for key in able
            if first <= _near(self._of((key,), step.weather, length), first, False, last + 1) <= last
        ]

    def _of(self, people: tuple[str, ...], weather: str | None, length: int) -> Slots:
        key = (people, weather, length)
        if key not in self._starts:
            free = np.full(self.ground.slots, not people)
            for person in people:
                free |= ~_blocked(self.taken.busy[person] > 0, length)
            if weather is not None:
                free &= ~_blocked(self.ground.wet[weather] > 0, length)
            self._starts[key] = np.flatnonzero(free[: self.upto])
        return self._starts[key]

    def _room(self, step: Step, at: int) -> int:
        """The same for the places that it takes from its start on."""
        for use in step.uses if not step.under_way else ():
            slots = step.labour + (step.dry if use.held is Held.READY else 0)
            if use.held is Held.DRYING or not step.sittings:
                continue
            key = (use.resource, use.amount, slots)
            if key not in self._starts:
                full = self.taken.room[use.resource] > self.ground.capacity[use.resource] - use.amount
                self._starts[key] = np.flatnonzero(~_blocked(full, slots)[: self.upto])
            at = _near(self._starts[key], at, False)
        return at


def _blocked(full: NDArray[np.bool_], length: int) -> NDArray[np.bool_]:
    """Where a stretch of so many slots cannot start."""
    before = np.concatenate(([0], np.cumsum(full)))
    ends = np.minimum(np.arange(len(full)) + length, len(full))
    return np.asarray(before[ends] > before[:-1])


def _near(starts: Slots, at: int, back: bool, none: int | None = None) -> int:
    """The first of the slots from ``at`` on, or the last up to it; ``none``, or ``at`` itself, where there is none."""
    index = int(np.searchsorted(starts, at, "right")) - 1 if back else int(np.searchsorted(starts, at))
    return int(starts[index]) if 0 <= index < len(starts) else at if none is None else none

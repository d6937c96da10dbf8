"""A plan: where each step's sittings lie, who sits, what was left out and why, and what the plan costs."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """One sitting of a step, [start, end) in slots; number 0 is a sanding for a missed window, 1 its first own."""

    step: str
    number: int
    start: int
    end: int
    person: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One step in the plan.

    Parameters
    ----------
    step : str
        Its key.
    sittings : tuple of Sitting
        In order; a sanding first.
    start : int
        From when on it takes its places: the start of its first sitting, a sanding too, or ``Step.since``.
    hands_end : int
        End of its last sitting; its start where it has none.
    ready : int
        When it is dry.
    """

    step: str
    sittings: tuple[Sitting, ...]
    start: int
    hands_end: int
    ready: int

    @property
    def sanded(self) -> bool:
        """Whether a missed window costs a sanding first."""
        return bool(self.sittings) and self.sittings[0].number == 0

    @property
    def coat_start(self) -> int:
        """The start of its own work, a sanding not counted: what lags are measured to and from."""
        own = [sitting.start for sitting in self.sittings if sitting.number > 0]
        return own[0] if own else self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A step that has no place in the plan, and why: a sentence with named gaps, and what fills them."""

    step: str
    text: str
    values: Mapping[str, str]

    def __str__(self) -> str:
        return self.text % self.values


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a plan costs, each part weighted: see `stages.planner.cost`."""

    tardy: int = 0
    missed: int = 0
    flow: int = 0
    makespan: int = 0
    shuffle: int = 0

    @property
    def total(self) -> int:
        """All of it."""
        return self.tardy + self.missed + self.flow + self.makespan + self.shuffle


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """A plan of all steps that can be placed."""

    placed: tuple[Placed, ...]
    left: tuple[Left, ...] = ()
    cost: Cost = Cost()

    @cached_property
    def by_step(self) -> Mapping[str, Placed]:
        """The placed steps by key."""
        return {placed.step: placed for placed in self.placed}

"""What a plan takes: who sits where before what, and until when a place has no room."""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from operator import itemgetter

from stages.planner.problem import Held, Problem, Use
from stages.planner.schedule import Placed, Schedule, Sitting
from stages.planner.timegrid import Spans
from stages.planner.verify import held


class Occupied:
    """The hands and places that a plan takes, to be asked about.

    Parameters
    ----------
    problem, schedule
        What was asked, and a plan that keeps it.
    """

    def __init__(self, problem: Problem, schedule: Schedule) -> None:
        self._capacity = {resource.key: resource.capacity for resource in problem.resources}
        self._sittings: dict[str, list[Sitting]] = defaultdict(list)
        self._leaves: dict[tuple[str, int], list[str]] = defaultdict(list)
        changes: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
        uses = {step.key: step.uses for step in problem.steps}
        for placed in schedule.placed:
            for sitting in placed.sittings:
                if sitting.person is not None:
                    self._sittings[sitting.person].append(sitting)
            for use in uses[placed.step]:
                start, end = held(placed, use.held)
                if start < end:
                    changes[use.resource][start] += use.amount
                    changes[use.resource][end] -= use.amount
                    self._leaves[use.resource, end].append(placed.step)
        for sittings in self._sittings.values():
            sittings.sort(key=lambda sitting: sitting.start)
        self._moments = {key: sorted(at) for key, at in changes.items()}
        self._levels = {key: _sums([changes[key][at] for at in ats]) for key, ats in self._moments.items()}

    def needed_from(self, placed: Placed, use: Use) -> int:
        """From which slot on a step takes a place."""
        return placed.hands_end if use.held is Held.DRYING else placed.start

    def full_until(self, use: Use, since: int, start: int) -> int | None:
        """The end of the last time in [since, start) at which there was no room for a use; None for no such time."""
        moments = self._moments.get(use.resource, [])
        levels = self._levels.get(use.resource, [])
        most = self._capacity[use.resource] - use.amount
        for at in range(bisect_left(moments, start) - 1, -1, -1):
            until = min(moments[at + 1], start) if at + 1 < len(moments) else start
            if until <= since:
                return None
            if levels[at] > most:
                return until
        return None

    def leaves(self, resource: str, at: int, other_than: str) -> str | None:
        """The step that leaves a place at a slot, the first by key where there are more; None where none does."""
        return min((key for key in self._leaves.get((resource, at), ()) if key != other_than), default=None)

    def sat_before(self, person: str, start: int) -> Sitting | None:
        """What a person sat at last before a slot."""
        sittings = self._sittings[person]
        at = bisect_left(sittings, start, key=lambda one: one.start)
        return sittings[at - 1] if at > 0 else None

    @staticmethod
    def fits(works: Spans, dry: Spans | None, since: int, latest: int, length: int) -> bool:
        """Whether a sitting that starts in [since, latest] would lie within hours, and in dry weather."""
        for first, last in works[bisect_right(works, since, key=itemgetter(1)) :]:
            if first > latest:
                return False
            low, high = max(first, since), min(last, latest + length)
            spans = ((low, high),) if dry is None else _between(dry, low, high)
            if any(min(b, high) - max(a, low) >= length for a, b in spans):
                return True
        return False


def _between(spans: Spans, low: int, high: int) -> Spans:
    """The spans that reach into [low, high)."""
    return spans[bisect_right(spans, low, key=itemgetter(1)) : bisect_left(spans, high, key=itemgetter(0))]


def _sums(values: list[int]) -> list[int]:
    total, sums = 0, []
    for value in values:
        total += value
        sums.append(total)
    return sums

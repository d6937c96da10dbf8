"""Which steps of a plan to set free together: each way of choosing sees another part of what could be better."""

from bisect import bisect_left
from collections.abc import Callable, Iterator, Mapping
from random import Random

from stages.planner.ground import Ground
from stages.planner.schedule import Placed, Schedule
from stages.planner.timegrid import SLOTS_A_DAY

Keys = Iterator[str]


class View:
    """A plan, seen by boat, by time and by place."""

    def __init__(self, ground: Ground, schedule: Schedule) -> None:
        self.ground, self.placed = ground, schedule.by_step
        movable = (placed for placed in schedule.placed if placed.step in ground.movable)
        self.by_start = sorted(movable, key=lambda placed: (placed.start, placed.step))
        self.starts = [placed.start for placed in self.by_start]
        self.boats: dict[str, list[Placed]] = {}
        for placed in self.by_start:
            self.boats.setdefault(ground.steps[placed.step].job, []).append(placed)
        self.done = {boat: max(placed.ready for placed in steps) for boat, steps in self.boats.items()}
        jobs = {job.key: job for job in ground.problem.jobs}
        self.pain = {
            boat: max(0, done - (jobs[boat].due or done)) * jobs[boat].weight + done * jobs[boat].flow
            for boat, done in self.done.items()
        }

    def a_boat(self, random: Random) -> str:
        """A boat, the ones that cost most first."""
        boats = list(self.boats)
        return random.choices(boats, [1 + self.pain[boat] for boat in boats])[0]

    def around(self, slot: int) -> Keys:
        """Steps by how near to a slot they start."""
        after = bisect_left(self.starts, slot)
        before = after - 1
        while before >= 0 or after < len(self.starts):
            late = after < len(self.starts) and (before < 0 or self.starts[after] - slot <= slot - self.starts[before])
            yield self.by_start[after if late else before].step
            after, before = (after + 1, before) if late else (after, before - 1)


def boats_beside(view: View, random: Random) -> Keys:
    """A boat that costs much, then those that are finished nearest to it in time."""
    one = view.a_boat(random)
    near = sorted(view.boats, key=lambda boat: (abs(view.done[boat] - view.done[one]) * random.uniform(0.5, 1.5), boat))
    for boat in [one, *(boat for boat in near if boat != one)]:
        yield from (placed.step for placed in view.boats[boat])


def boats_that_cost(view: View, random: Random) -> Keys:
    """Boats drawn one by one, the ones that cost most more often."""
    left = dict.fromkeys(view.boats)
    while left:
        boats = list(left)
        one = random.choices(boats, [1 + view.pain[boat] for boat in boats])[0] if random.random() < 0.7 else None
        one = one or random.choice(boats)
        del left[one]
        yield from (placed.step for placed in view.boats[one])


def days(view: View, random: Random) -> Keys:
    """All that starts around one moment."""
    one = random.choice(view.boats[view.a_boat(random)])
    return view.around(one.start)


def in_the_way(view: View, random: Random) -> Keys:
    """A boat that costs much, and what takes its places and hands just before each of its steps starts."""
    steps, boat = view.ground.steps, view.a_boat(random)
    yield from (placed.step for placed in view.boats[boat])
    waits = sorted(view.boats[boat], key=lambda placed: random.random())
    for depth in (1, 4, 16):
        for placed in waits:
            wants = _wants(view.ground, placed.step)
            first = bisect_left(view.starts, placed.start - depth * SLOTS_A_DAY)
            for other in view.by_start[first : bisect_left(view.starts, placed.start + depth * SLOTS_A_DAY // 4)]:
                if wants & _wants(view.ground, other.step) and steps[other.step].job != boat:
                    yield other.step


def one_place(view: View, random: Random) -> Keys:
    """What one place or one kind of hands does around a moment, and what comes before and behind it on each boat."""
    one = random.choice(view.boats[view.a_boat(random)])
    wants = sorted(_wants(view.ground, one.step))
    if not wants:
        return
    wanted = random.choice(wants)
    for key in view.around(one.start):
        if wanted in _wants(view.ground, key):
            yield key
            yield from (link.before for link in view.ground.into[key] if link.before in view.placed)
            yield from (link.after for link in view.ground.out[key] if link.after in view.placed)


def _wants(ground: Ground, key: str) -> frozenset[str]:
    step = ground.steps[key]
    return frozenset(use.resource for use in step.uses) | ({f"skill {step.skill}"} if step.skill else frozenset())


KINDS: Mapping[str, Callable[[View, Random], Keys]] = {
    "boats beside": boats_beside,
    "boats that cost": boats_that_cost,
    "days": days,
    "in the way": in_the_way,
    "one place": one_place,
}


def choose(view: View, kind: str, random: Random, size: int) -> frozenset[str]:
    """Steps to set free, about so many."""
    found: set[str] = set()
    for key in KINDS[kind](view, random):
        found.add(key)
        if len(found) >= size:
            break
    return view.ground.with_windows(found)

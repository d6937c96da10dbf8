"""Whether a plan keeps every constraint of its problem: independent of whatever made it."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from stages.planner.cost import cost_of
from stages.planner.problem import Held, Link, Problem, Since, Step
from stages.planner.schedule import Placed, Schedule, Sitting
from stages.planner.timegrid import inside


@dataclass(frozen=True, slots=True, kw_only=True)
class Breach:
    """One constraint that a plan breaks: which kind, at what (a step, person, resource or field), and how."""

    kind: str
    at: str
    words: str

    def __str__(self) -> str:
        return f"{self.kind}, {self.at}: {self.words}"


def verify(problem: Problem, schedule: Schedule) -> tuple[Breach, ...]:
    """Check a plan against its problem.

    Parameters
    ----------
    problem : Problem
        What was asked.
    schedule : Schedule
        What was answered.

    Returns
    -------
    tuple of Breach
        Every constraint that it breaks; empty for a plan that holds. What is under way is a fact and breaks none, but
        nothing new may be laid over it.
    """
    steps = {step.key: step for step in problem.steps}
    named = [placed.step for placed in schedule.placed] + [left.step for left in schedule.left]
    unknown = [key for key in named if key not in steps]
    if unknown:
        return tuple(Breach(kind="unknown", at=key, words="is in the plan and not in the problem") for key in unknown)
    found = [
        *_all_there(problem, schedule),
        *(breach for placed in schedule.placed for breach in _step(problem, steps[placed.step], placed)),
        *_hands(steps, schedule),
        *_room(problem, schedule),
        *(breach for link in problem.links for breach in _link(link, steps, schedule)),
        *_sandings(problem, steps, schedule),
        *_costs(problem, schedule),
    ]
    return tuple(found)


def _all_there(problem: Problem, schedule: Schedule) -> Iterator[Breach]:
    seen = Counter([placed.step for placed in schedule.placed] + [left.step for left in schedule.left])
    for step in problem.steps:
        if (times := seen[step.key]) != 1:
            yield Breach(kind="once", at=step.key, words=f"is in the plan {times} times")


def _step(problem: Problem, step: Step, placed: Placed) -> Iterator[Breach]:
    """What concerns one step alone: its sittings, its moments, its hold on the calendar and the weather."""
    yield from _moments(problem, step, placed)
    own = [sitting for sitting in placed.sittings if sitting.number != 0]
    numbers = [sitting.number for sitting in placed.sittings[placed.sanded :]]
    of_others = any(sitting.step != step.key for sitting in placed.sittings)
    if of_others or numbers != list(range(1, len(step.sittings) + 1)):
        yield Breach(kind="sittings", at=step.key, words="does not have its sittings in their order")
        return
    for sitting, length in zip(own, step.sittings, strict=True):
        if sitting.end - sitting.start != length:
            yield Breach(kind="length", at=step.key, words=f"sitting {sitting.number} is not {length} slots long")
    for one, after in pairwise(placed.sittings):
        if after.start < one.end and not _under_way(step, after):
            yield Breach(
                kind="sequence", at=step.key, words=f"sitting {after.number} begins before the one before ends"
            )
    for sitting, begun in zip(own, step.begun, strict=False):
        if (sitting.start, sitting.person) != (begun.start, begun.person):
            yield Breach(kind="begun", at=step.key, words=f"sitting {sitting.number} is under way and was moved")
    for sitting in placed.sittings:
        if not _under_way(step, sitting):
            yield from _sitting(problem, step, sitting)


def _under_way(step: Step, sitting: Sitting) -> bool:
    return 0 < sitting.number <= len(step.begun)


def _moments(problem: Problem, step: Step, placed: Placed) -> Iterator[Breach]:
    first = placed.sittings[0].start if placed.sittings else placed.start
    start = step.since if step.since is not None else first
    end = placed.sittings[-1].end if placed.sittings else placed.start
    if placed.start != start or placed.hands_end != end or placed.ready != end + step.dry:
        yield Breach(kind="moments", at=step.key, words="does not begin, end and dry when its sittings say so")
    if not step.begun and step.since is None and placed.start < step.earliest:
        yield Breach(kind="hold", at=step.key, words=f"starts at {placed.start}, held until {step.earliest}")
    if not placed.sittings and step.since is None and not 0 <= placed.start < problem.horizon:
        yield Breach(kind="horizon", at=step.key, words=f"at {placed.start} lies outside the plan")


def _sitting(problem: Problem, step: Step, sitting: Sitting) -> Iterator[Breach]:
    name = f"sitting {sitting.number} at {sitting.start}"
    if not 0 <= sitting.start < problem.horizon:
        yield Breach(kind="horizon", at=step.key, words=f"{name} lies outside the plan")
    if step.weather is not None and not inside(problem.weather[step.weather], sitting.start, sitting.end):
        yield Breach(kind="weather", at=step.key, words=f"{name} is not in dry weather")
    if step.skill is None:
        if sitting.person is not None:
            yield Breach(kind="person", at=step.key, words=f"{name} needs nobody and has {sitting.person}")
        return
    person = next((person for person in problem.people if person.key == sitting.person), None)
    if person is None or step.skill not in person.skills:
        yield Breach(kind="person", at=step.key, words=f"{name} has nobody who can do it")
    elif not inside(person.works, sitting.start, sitting.end):
        yield Breach(kind="calendar", at=step.key, words=f"{name} is not within the hours of {person.name}")


def _hands(steps: dict[str, Step], schedule: Schedule) -> Iterator[Breach]:
    """One sitting at a time for each person; two that are under way at once are facts."""
    by_person: dict[str, list[Sitting]] = defaultdict(list)
    for placed in schedule.placed:
        for sitting in placed.sittings:
            if sitting.person is not None and sitting.step == placed.step:
                by_person[sitting.person].append(sitting)
    for person, sittings in by_person.items():
        in_order = sorted(sittings, key=lambda sitting: (sitting.start, sitting.end))
        longest = in_order[0]
        for after in in_order[1:]:
            facts = all(_under_way(steps[one.step], one) for one in (longest, after))
            if after.start < longest.end and not facts:
                yield Breach(kind="hands", at=person, words=f"sits at {longest.step} and {after.step} at {after.start}")
            longest = max(longest, after, key=lambda sitting: sitting.end)


def _room(problem: Problem, schedule: Schedule) -> Iterator[Breach]:
    """No more at once than a resource has room for, save where what is under way fills it alone."""
    steps = {step.key: step for step in problem.steps}
    changes: dict[str, list[tuple[int, int, bool]]] = defaultdict(list)
    for placed in schedule.placed:
        step = steps[placed.step]
        fact = step.under_way
        for use in step.uses:
            start, end = held(placed, use.held)
            if max(start, 0) < end:
                changes[use.resource] += [(max(start, 0), use.amount, fact), (end, -use.amount, fact)]
    for resource in problem.resources:
        at = _overfull(sorted(changes[resource.key], key=lambda change: change[:2]), resource.capacity)
        if at is not None:
            yield Breach(kind="room", at=resource.key, words=f"holds more than {resource.capacity} at {at}")


def held(placed: Placed, how: Held) -> tuple[int, int]:
    """The slots in which a step holds a resource, [start, end)."""
    match how:
        case Held.HANDS:
            return placed.start, placed.hands_end
        case Held.READY:
            return placed.start, placed.ready
        case Held.DRYING:
            return placed.hands_end, placed.ready


def _overfull(changes: Sequence[tuple[int, int, bool]], capacity: int) -> int | None:
    """The first slot at which there is too much, and not by facts alone."""
    level = new = 0
    for index, (at, amount, fact) in enumerate(changes):
        level += amount
        new += 0 if fact else amount
        last_of_slot = index + 1 == len(changes) or changes[index + 1][0] != at
        if last_of_slot and level > capacity and new > 0:
            return at
    return None


def moment(placed: Placed, since: Since) -> int:
    """The moment of a step from which a lag counts."""
    match since:
        case Since.START:
            return placed.coat_start
        case Since.HANDS:
            return placed.hands_end
        case Since.READY:
            return placed.ready


def _link(link: Link, steps: dict[str, Step], schedule: Schedule) -> Iterator[Breach]:
    before, after = schedule.by_step.get(link.before), schedule.by_step.get(link.after)
    step = steps[link.after]
    if after is None or step.under_way:
        return
    name = f"{link.before} -> {link.after}"
    if before is None:
        if link.least is not None:
            yield Breach(kind="before", at=name, words="is placed though the step before it is left out")
        return
    from_ = moment(before, link.since)
    if link.least is not None and after.start < from_ + link.least:
        yield Breach(kind="least", at=name, words=f"{after.start} is under {from_} + {link.least}")
    if link.most is not None and link.sanding is None and after.coat_start > from_ + link.most:
        yield Breach(kind="most", at=name, words=f"{after.coat_start} is over {from_} + {link.most}")


def _sandings(problem: Problem, steps: dict[str, Step], schedule: Schedule) -> Iterator[Breach]:
    """Who missed a window is sanded for long enough, and nobody for a time that no window asks for."""
    windows: dict[str, list[Link]] = defaultdict(list)
    for link in problem.links:
        if link.sanding is not None:
            windows[link.after].append(link)
    for placed in schedule.placed:
        step, links = steps[placed.step], windows[placed.step]
        if step.under_way or not (links or placed.sanded):
            continue
        due = max((link.sanding or 0 for link in links if _missed(link, placed, schedule)), default=0)
        sanded = sum(sitting.end - sitting.start for sitting in placed.sittings if sitting.number == 0)
        if sanded < due or (sanded and sanded not in {link.sanding for link in links}):
            yield Breach(kind="sanding", at=placed.step, words=f"is sanded for {sanded} slots where {due} are due")


def _missed(link: Link, placed: Placed, schedule: Schedule) -> bool:
    before = schedule.by_step.get(link.before)
    return before is not None and placed.coat_start > moment(before, link.since) + (link.most or 0)


def _costs(problem: Problem, schedule: Schedule) -> Iterator[Breach]:
    cost = cost_of(problem, schedule.placed)
    if cost != schedule.cost:
        yield Breach(kind="cost", at="cost", words=f"is {cost}, not {schedule.cost}")

"""One step that moves, in a model: its moments and its sittings as variables, and read back as placed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from stages.planner.bounds import Bounds
from stages.planner.problem import Held, Since, Step
from stages.planner.schedule import Placed, Sitting
from stages.planner.solver import Draft, Expr

Read = Callable[[Expr], int]


@dataclass(slots=True, kw_only=True)
class Seat:
    """One sitting: which, when, how long, whether it is there (None: always), and by person its truth (None: sits)."""

    number: int
    start: Expr
    length: int
    when: Expr = None
    people: dict[str, Expr] = field(default_factory=dict)

    @property
    def end(self) -> Expr:
        """Its end."""
        return self.start + self.length


@dataclass(slots=True, kw_only=True)
class Part:
    """A step that moves; ``sanded``: by length of sanding, whether it is sanded for that long."""

    step: Step
    now: Placed
    bounds: Bounds
    start: Expr
    coat: Expr
    end: Expr
    seats: list[Seat]
    sanded: dict[int, Expr] = field(default_factory=dict)

    @property
    def latest_end(self) -> int:
        """The last slot at which its hands may be done."""
        own = self.step.sittings[-1] if self.step.sittings else max(self.sanded, default=0)
        return self.bounds.last[-1] + own

    def moment(self, since: Since) -> Expr:
        """From when a lag counts."""
        match since:
            case Since.START:
                return self.coat
            case Since.HANDS:
                return self.end
            case Since.READY:
                return self.end + self.step.dry


def part_of(draft: Draft, step: Step, now: Placed, sandings: Sequence[int], bounds: Bounds) -> Part:
    """Write a step's own times.

    Parameters
    ----------
    sandings : sequence of int
        How long it may be sanded for missed windows, slots.
    bounds : Bounds
        Where it can lie.
    """
    own = [sitting.start for sitting in now.sittings if sitting.number > 0]
    starts = [
        at if number < len(step.begun) else draft.number(bounds.first[number], bounds.last[number], at)
        for number, at in enumerate(own)
    ]
    seats = [
        Seat(number=number, start=start, length=length)
        for number, (start, length) in enumerate(zip(starts, step.sittings, strict=True), 1)
    ]
    for before, after in pairwise(seats):
        draft.at_least(after.start, before.end)
    coat = seats[0].start if seats else draft.number(bounds.first[0], bounds.last[0], now.start)
    start = coat if step.since is None else step.since
    part = Part(
        step=step, now=now, bounds=bounds, start=start, coat=coat, end=seats[-1].end if seats else coat, seats=seats
    )
    if sandings:
        _sand(draft, part, sandings)
    return part


def _sand(draft: Draft, part: Part, lengths: Sequence[int]) -> None:
    """Let it be sanded first; where it is not, its start is that of its own work."""
    now, bounds = part.now, part.bounds
    length_now = now.sittings[0].end - now.sittings[0].start if now.sanded else 0
    part.sanded = {length: draft.truth(length == length_now) for length in lengths}
    takes = sum(length * truth for length, truth in part.sanded.items())
    if part.seats:
        part.start = draft.number(bounds.begin, bounds.last[0], now.start)
        draft.at_least(part.coat, part.start + takes)
        draft.equal(part.coat, part.start, when=[draft.no(truth) for truth in part.sanded.values()])
    else:
        part.end = draft.number(bounds.first[0], bounds.last[0] + max(lengths), now.hands_end)
        draft.equal(part.end, part.start + takes)
    draft.at_least(1, sum(part.sanded.values()))
    sandings = part.sanded.items()
    part.seats[:0] = [Seat(number=0, start=part.start, length=length, when=truth) for length, truth in sandings]


def held_in(draft: Draft, part: Part, how: Held) -> Expr:
    """The slots in which a step holds a resource; None where they are none."""
    dry, end = part.step.dry, part.end
    if how is Held.DRYING or not part.seats:
        dries = dry if how is not Held.HANDS else 0
        return draft.span(end, dries, end + dries) if dries else None
    tail = dry if how is Held.READY else 0
    if isinstance(part.start, int):  # under way: it holds its place from now on
        start = max(0, part.start)
        return draft.span(start, end + tail - start, end + tail)
    if len(part.seats) == 1 and not part.sanded:
        return draft.span(part.start, part.seats[0].length + tail, end + tail)
    now = part.now.hands_end + tail - part.now.start
    size = draft.number(min(now, part.step.labour + tail), max(now, part.latest_end + tail - part.bounds.begin), now)
    return draft.span(part.start, size, end + tail)


def placed_of(part: Part, value: Read) -> Placed:
    """The step where the variables' values say."""
    return Placed(
        step=part.step.key,
        sittings=tuple(_sitting(part, seat, value) for seat in part.seats if seat.when is None or value(seat.when)),
        start=_number(part.start, value),
        hands_end=_number(part.end, value),
        ready=_number(part.end, value) + part.step.dry,
    )


def _sitting(part: Part, seat: Seat, value: Read) -> Sitting:
    start, number = _number(seat.start, value), seat.number
    person = next((key for key, truth in seat.people.items() if truth is None or value(truth)), None)
    if 0 < number <= len(part.step.begun):
        person = part.step.begun[number - 1].person
    return Sitting(step=part.step.key, number=number, start=start, end=start + seat.length, person=person)


def _number(at: Expr, value: Read) -> int:
    return at if isinstance(at, int) else value(at)

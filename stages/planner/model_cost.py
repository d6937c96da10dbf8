"""What a plan costs, as a model: the sums of `stages.planner.cost`, over what moves."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from stages.planner.ground import Ground
from stages.planner.parts import Part
from stages.planner.problem import Since
from stages.planner.schedule import Schedule
from stages.planner.solver import Draft, Expr
from stages.planner.timegrid import SLOTS_A_DAY

Term = tuple[int, Expr, int]  # weight, amount, and what the amount is now
Parts = Mapping[str, Part]


def add_cost(draft: Draft, ground: Ground, schedule: Schedule, parts: Parts, upto: int, *, capped: bool) -> None:
    """Write the cost of what moves, capped: that it is no more than now; what stays costs the same all along."""
    missed = ground.problem.weights.missed
    terms = [*_boats(draft, ground, schedule, parts, upto), *_kept(draft, ground, parts)]
    sanded = [(sum(part.sanded.values()), int(part.now.sanded)) for part in parts.values() if part.sanded]
    terms += [(missed, truths, now) for truths, now in sanded]
    total = sum(weight * amount for weight, amount, _ in terms)
    if capped:
        draft.at_least(sum(weight * now for weight, _, now in terms), total)
    draft.minimise(total)


def _boats(draft: Draft, ground: Ground, schedule: Schedule, parts: Parts, upto: int) -> Iterator[Term]:
    """Weighted tardiness, flow and the last finish."""
    now, stay = _done(ground, schedule, ()), _done(ground, schedule, parts)
    ends = _ends(ground, parts)
    high = max([upto, *now.values()]) + ground.longest_dry

    def above(floor: int, at: int, ends: Iterable[Expr], less: int = 0) -> Expr:
        made = draft.number(floor, max(at, high - less), at)
        for end in ends:
            draft.at_least(made, end - less)
        return made

    for job in ground.problem.jobs:
        if job.key not in ends:
            continue
        at, floor = now[job.key], stay[job.key]
        if job.due is not None and job.weight:
            late = max(0, at - job.due)
            yield job.weight, above(max(0, floor - job.due), late, ends[job.key], job.due), late
        if job.flow:
            yield job.flow, above(floor, at, ends[job.key]), at
    if ground.problem.weights.makespan:
        last = max(now.values(), default=0)
        every = [end for some in ends.values() for end in some]
        yield ground.problem.weights.makespan, above(max(stay.values(), default=0), last, every), last


def _done(ground: Ground, schedule: Schedule, but: Parts | tuple[()]) -> dict[str, int]:
    """By boat, when the last of its steps is ready, some steps left out; zero at least."""
    done: dict[str, int] = defaultdict(int)
    for placed in schedule.placed:
        if placed.step not in but:
            job = ground.steps[placed.step].job
            done[job] = max(done[job], placed.ready)
    return done


def _ends(ground: Ground, parts: Parts) -> dict[str, list[Expr]]:
    """By boat, when the steps are ready behind which none of the same boat waits."""
    ends: dict[str, list[Expr]] = defaultdict(list)
    for key, part in parts.items():
        job = part.step.job
        if not any(
            link.least is not None
            and link.least >= 0
            and link.since is Since.READY
            and link.after in parts
            and parts[link.after].step.job == job
            for link in ground.out[key]
        ):
            ends[job].append(part.moment(Since.READY))
    return ends


def _kept(draft: Draft, ground: Ground, parts: Parts) -> Iterator[Term]:
    """How far sittings move from where the plan before had them, a day at most."""
    weight = ground.problem.weights.shuffle
    for kept in ground.problem.kept if weight else ():
        part = parts.get(kept.step)
        seat = next((seat for seat in part.seats if seat.number == kept.number), None) if part else None
        if part is None or seat is None:
            continue
        at = next((sitting.start for sitting in part.now.sittings if sitting.number == kept.number), None)
        now = 0 if at is None else min(SLOTS_A_DAY, abs(at - kept.start))
        moved, far = draft.number(0, SLOTS_A_DAY, now), draft.truth(now == SLOTS_A_DAY)
        near = [draft.no(far), *([] if seat.when is None else [seat.when])]
        draft.at_least(moved, seat.start - kept.start, when=near)
        draft.at_least(moved, kept.start - seat.start, when=near)
        draft.at_least(moved, SLOTS_A_DAY, when=[far])
        yield weight, moved, now

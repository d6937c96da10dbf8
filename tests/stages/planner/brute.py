"""The best plan of a very small problem by trying all of them; nothing of the planner but the verifier is asked."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from stages.planner.cost import cost_of
from stages.planner.problem import Problem, Step
from stages.planner.schedule import Placed, Schedule, Sitting
from stages.planner.screen import without
from stages.planner.verify import verify


def best_cost(problem: Problem) -> int | None:
    """The least total cost of a plan that places every step; None when there is no such plan."""
    return _search(problem, (), None)


def _search(problem: Problem, placed: tuple[Placed, ...], best: int | None) -> int | None:
    if best is not None and placed and cost_of(problem, placed).total >= best:
        return best
    if len(placed) == len(problem.steps):
        return cost_of(problem, placed).total
    for one in _ways(problem, problem.steps[len(placed)]):
        if _holds(problem, (*placed, one)):
            best = _search(problem, (*placed, one), best)
    return best


def _holds(problem: Problem, placed: tuple[Placed, ...]) -> bool:
    """Whether these steps alone break nothing."""
    keys = {one.step for one in placed}
    alone = without(problem, (step.key for step in problem.steps if step.key not in keys))
    plan = Schedule(placed=placed)
    return not verify(alone, replace(plan, cost=cost_of(alone, placed)))


def _ways(problem: Problem, step: Step) -> Iterator[Placed]:
    """Every way to place one step: all starts of all sittings by all people, with and without a sanding."""
    numbered = [(number, length) for number, length in enumerate(step.sittings, start=1)]
    sandings = {link.sanding for link in problem.links if link.after == step.key and link.sanding is not None}
    for sanding in (0, *sorted(sandings)):
        lengths = [(0, sanding), *numbered] if sanding else numbered
        if not lengths:
            yield from _empty(problem, step)
            continue
        for starts in _starts([length for _, length in lengths], 0, problem.horizon):
            for hands in product(_hands(problem, step), repeat=len(lengths)):
                yield _placed(step, lengths, starts, hands)


def _empty(problem: Problem, step: Step) -> Iterator[Placed]:
    starts = range(problem.horizon) if step.since is None else (step.since,)
    for start in starts:
        yield Placed(step=step.key, sittings=(), start=start, hands_end=start, ready=start + step.dry)


def _hands(problem: Problem, step: Step) -> list[str | None]:
    return [person.key for person in problem.people if step.skill in person.skills] if step.skill else [None]


def _starts(lengths: list[int], first: int, horizon: int) -> Iterator[tuple[int, ...]]:
    if not lengths:
        yield ()
        return
    for start in range(first, horizon):
        for rest in _starts(lengths[1:], start + lengths[0], horizon):
            yield (start, *rest)


def _placed(
    step: Step, lengths: list[tuple[int, int]], starts: tuple[int, ...], hands: tuple[str | None, ...]
) -> Placed:
    sittings = tuple(
        Sitting(step=step.key, number=number, start=start, end=start + length, person=person)
        for (number, length), start, person in zip(lengths, starts, hands, strict=True)
    )
    start = step.since if step.since is not None else sittings[0].start
    end = sittings[-1].end
    return Placed(step=step.key, sittings=sittings, start=start, hands_end=end, ready=end + step.dry)

"""What would help most: the plan is made again with one thing more, and the two are laid side by side."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from hulls.wording import gettext_noop
from stages.planner.compare import finishes
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule
from stages.planner.timegrid import SLOTS_A_DAY, Spans

Planned = Callable[[Problem], Schedule]

ONE_MORE_PLACE = gettext_noop("One more place: %(resource)s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """Something that could be changed: a sentence with named gaps, what fills them, and the problem that it makes."""

    text: str
    values: Mapping[str, str] = field(default_factory=dict)
    problem: Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """What an idea would bring.

    Parameters
    ----------
    idea : Idea
        The change.
    saved : int
        Cost that it takes off the plan; negative where it makes it dearer.
    late_days : float
        Days of lateness that all boats together lose, unweighted.
    done_days : float
        Days by which boats are done sooner, all together.
    placed : int
        Steps that find a place and had none; that makes a plan dearer, and is worth more than what it costs.
    """

    idea: Idea
    saved: int
    late_days: float
    done_days: float
    placed: int = 0


def one_more_place(problem: Problem, resource: str) -> Idea:
    """One place more at a station."""
    title = next(one.title or one.key for one in problem.resources if one.key == resource)
    more = tuple(replace(one, capacity=one.capacity + 1) if one.key == resource else one for one in problem.resources)
    return Idea(text=ONE_MORE_PLACE, values={"resource": title}, problem=replace(problem, resources=more))


def more_hours(problem: Problem, person: str, spans: Spans) -> Problem:
    """The problem with more hours of one person; those that lie over others are merged with them."""
    people = tuple(
        replace(one, works=merged((*one.works, *spans))) if one.key == person else one for one in problem.people
    )
    return replace(problem, people=people)


def merged(spans: Iterable[tuple[int, int]]) -> Spans:
    """Spans in order, with those that touch or overlap made one."""
    found: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return tuple(found)


def what_helps(problem: Problem, plan: Planned, ideas: Iterable[Idea]) -> tuple[Help, ...]:
    """Try each idea by itself, and give what it brings, the best first.

    Parameters
    ----------
    problem : Problem
        As it is.
    plan : callable
        How plans are made; the same way for all, so that only the idea makes the difference.
    ideas : iterable of Idea
        What could be changed.
    """
    as_is = plan(problem)
    before = finishes(problem, as_is)
    found = []
    for idea in ideas:
        changed = plan(idea.problem)
        after = finishes(idea.problem, changed)
        found.append(
            Help(
                idea=idea,
                saved=as_is.cost.total - changed.cost.total,
                late_days=_less_late(problem, before, after) / SLOTS_A_DAY,
                done_days=sum(was - now for was, now in _both(before, after).values()) / SLOTS_A_DAY,
                placed=_unplaced(problem, as_is) - _unplaced(idea.problem, changed),
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.placed, -one.saved, -one.done_days)))


def _unplaced(problem: Problem, plan: Schedule) -> int:
    return len(problem.steps) - len(plan.placed)


def _less_late(problem: Problem, before: Mapping[str, int | None], after: Mapping[str, int | None]) -> int:
    due = {job.key: job.due for job in problem.jobs if job.due is not None}
    both = _both(before, after)
    return sum(max(0, both[job][0] - day) - max(0, both[job][1] - day) for job, day in due.items() if job in both)


def _both(before: Mapping[str, int | None], after: Mapping[str, int | None]) -> dict[str, tuple[int, int]]:
    """The boats that both plans finish, and when."""
    ends = {job: (was, after.get(job)) for job, was in before.items()}
    return {job: (was, now) for job, (was, now) in ends.items() if was is not None and now is not None}

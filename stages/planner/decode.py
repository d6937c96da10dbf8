"""From an order of the steps to a plan: the schedule that is built along it, in the shop's own words and names."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from hulls.wording import gettext_noop
from stages.planner.arrays import UNBOUNDED, Arrays, Ints
from stages.planner.cost import cost_of
from stages.planner.problem import Problem
from stages.planner.schedule import Left, Placed, Schedule, Sitting

if TYPE_CHECKING:
    from stages.planner.state import State

# By `stages.planner.state`'s numbers of reasons.
_WHY = (
    "",
    gettext_noop("Nobody who can do it is free for it, in hours and weather that allow it, before the plan ends."),
    gettext_noop("No room at “%(resource)s” before the plan ends."),
    gettext_noop("It would come too late after “%(before)s”, which cannot come later."),
    gettext_noop("It waits for “%(before)s”, which has no place in the plan."),
)


def decode(problem: Problem, order: Iterable[str]) -> Schedule:
    """Place the steps one after the other, each as soon as it can be.

    Parameters
    ----------
    problem : Problem
        Screened.
    order : iterable of str
        Keys of its steps, the most pressing first; a step waits for those that it is bound to, and those under way come
        first. Steps that are not named come last.
    """
    number = {step.key: at for at, step in enumerate(problem.steps)}
    rank = np.full(len(number), len(number), np.int64)
    named = [number[key] for key in order]
    rank[named] = np.arange(len(named))
    arrays = Arrays.of(problem)
    return schedule_of(problem, arrays, order_by(arrays, rank, chained=False))


def order_by(arrays: Arrays, rank: Ints, *, chained: bool) -> Ints:
    """The order of the lowest ranks that keeps the links: see `stages.planner.graph.by_rank`."""
    from stages.planner import graph  # compiled functions take a third of a second to import

    return graph.by_rank(arrays.steps, arrays.links, arrays.outs, rank, chained)


def schedule_of(problem: Problem, arrays: Arrays, order: Ints) -> Schedule:
    """The plan that an order of the arrays' steps gives."""
    from stages.planner.serial import run  # compiled functions take a third of a second to import
    from stages.planner.state import State

    state = State.of(arrays)
    run(arrays, state, order, arrays.lengths, arrays.dries, UNBOUNDED)
    return written(problem, arrays, state)


def written(problem: Problem, arrays: Arrays, state: "State") -> Schedule:
    """A schedule that was built up in arrays, as a plan."""
    from stages.planner import state as states

    places = state.places
    placed_at = np.flatnonzero(places["state"] == states.PLACED).tolist()
    columns = [places[name].tolist() for name in ("start", "end", "ready")]
    starts, people = state.starts.tolist(), state.people.tolist()
    lengths, sit_at = arrays.lengths.tolist(), arrays.steps["sit_at"].tolist()
    names = [person.key for person in problem.people] + [None]  # nobody is -1
    placed = []
    for v in placed_at:
        key, at = problem.steps[v].key, sit_at[v]
        sittings = tuple(
            Sitting(step=key, number=k + 1, start=start, end=start + length, person=names[who])
            for k, (start, length, who) in enumerate(
                zip(*(row[at : at + len(problem.steps[v].sittings)] for row in (starts, lengths, people)), strict=True)
            )
        )
        if places[v]["sanding"]:
            sittings = (_sanding(key, places[v], names), *sittings)
        start, end, ready = (column[v] for column in columns)
        placed.append(Placed(step=key, sittings=sittings, start=start, hands_end=end, ready=ready))
    left = tuple(_left(problem, state, v) for v in np.flatnonzero(places["state"] == states.LEFT).tolist())
    return Schedule(placed=tuple(placed), left=left, cost=cost_of(problem, placed))


def _sanding(key: str, place: np.void, names: Sequence[str | None]) -> Sitting:
    start, length = int(place["sanding_at"]), int(place["sanding"])
    return Sitting(step=key, number=0, start=start, end=start + length, person=names[place["sanding_by"]])


def _left(problem: Problem, state: "State", v: int) -> Left:
    from stages.planner import state as states

    why, about = int(state.places[v]["why"]), int(state.places[v]["about"])
    values = {}
    if why == states.NO_ROOM:
        values = {"resource": problem.resources[about].title or problem.resources[about].key}
    elif why != states.NO_HOURS:
        values = {"before": problem.steps[about].title or problem.steps[about].key}
    return Left(step=problem.steps[v].key, text=_WHY[why], values=values)

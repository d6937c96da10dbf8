"""A planning problem as numpy arrays: what the compiled schedulers walk through.

Steps, people, resources and boats are known by their places in the problem's tuples. All numbers are 64-bit integers;
`NEVER` stands for no such slot, -1 for nothing of the kind.
"""

from collections.abc import Iterable, Mapping
from itertools import accumulate
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from stages.planner.problem import Held, Link, Problem, Since, Step
from stages.planner.timegrid import Spans

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Record = np.void
Records = NDArray[np.void]

NEVER = 1 << 40
UNBOUNDED = 1 << 62  # more than any cost
DAY = 64  # slots, for finding a gap; nothing else depends on it
HELD = {Held.HANDS: 0, Held.READY: 1, Held.DRYING: 2}
SINCE = {Since.START: 0, Since.HANDS: 1, Since.READY: 2}
HANDS, READY, DRYING = 0, 1, 2  # as numba knows them


def _record(*names: str) -> np.dtype[np.void]:
    return np.dtype([(name, np.int64) for name in names])


# x_at and x_n: where a step's own lie in the array of all x, and how many they are. fact: it is under way since
# `since`; begun: so many of its sittings are; tail: fewest slots from its being ready until its boat is.
STEP = _record(
    *("job", "skill", "weather", "earliest", "fact", "since", "begun", "kept_sanding", "tail", "waits_for"),
    *("sit_at", "sit_n", "use_at", "use_n", "in_at", "in_n", "out_at", "out_n"),
)
USE = _record("resource", "amount", "held")
# first: the step before is placed first; least and most are NEVER where there are none; sanding 0: never missed.
LINK = _record("before", "after", "since", "least", "most", "sanding", "first")
JOB = _record("due", "weight", "flow")


class Arrays(NamedTuple):
    """A problem as arrays. Links lie by the step after; `outs` holds their places by the step before."""

    steps: Records
    lengths: Ints  # of every sitting, slots
    dries: Ints  # of every step, slots
    begun_at: Ints  # of every sitting: where it started, NEVER where it has not
    begun_by: Ints  # and the person
    kept_at: Ints  # of every sitting: where the plan before had it
    uses: Records
    links: Records
    outs: Ints
    jobs: Records
    skill_at: Ints  # people of skill k: skill_people[skill_at[k]:skill_at[k + 1]], those with fewest skills first
    skill_people: Ints
    free_first: Ints  # by person: the gaps in which they are free, facts taken out
    free_last: Ints
    free_n: Ints
    free_days: Ints  # and how many of the gaps are over by slot 64 * day: where to begin to look
    dry_first: Ints  # by weather: its spans
    dry_last: Ints
    dry_n: Ints
    capacity: Ints
    weights: Ints  # of a missed window, of the makespan, of a slot moved
    order: Ints  # an order of the steps that keeps the links
    horizon: int

    @classmethod
    def of(cls, problem: Problem) -> "Arrays":
        """Write a problem as arrays.

        Parameters
        ----------
        problem : Problem
            Best screened: a ring of links cannot be put in order, and its steps would be left out.
        """
        steps = problem.steps
        number = {step.key: at for at, step in enumerate(steps)}
        skills = {skill: at for at, skill in enumerate(sorted({step.skill for step in steps if step.skill}))}
        weather = {key: at for at, key in enumerate(problem.weather)}
        links = _links(problem, number)
        people = [skills_of.skills for skills_of in problem.people]
        by_skill = [
            sorted((at for at, has in enumerate(people) if skill in has), key=lambda at: (len(people[at]), at))
            for skill in skills
        ]
        free = _free(problem)
        free_first, free_last, free_n = _spans(free, more=sum(len(step.sittings) for step in steps) + 1)
        dry_first, dry_last, dry_n = _spans([_span_rows(spans) for spans in problem.weather.values()], more=0)
        kept = {(one.step, one.number): one.start for one in problem.kept}
        made = cls(
            steps=_steps(problem, links, skills, weather, kept),
            lengths=_ints(length for step in steps for length in step.sittings),
            dries=_ints(step.dry for step in steps),
            begun_at=_ints(at for step in steps for at in _begun(step)),
            begun_by=_begun_by(problem),
            kept_at=_ints(kept.get((step.key, at + 1), NEVER) for step in steps for at in range(len(step.sittings))),
            uses=_uses(problem),
            links=links,
            outs=np.argsort(links["before"], kind="stable").astype(np.int64),
            jobs=_jobs(problem),
            skill_at=_ints(accumulate((len(some) for some in by_skill), initial=0)),
            skill_people=_ints(person for some in by_skill for person in some),
            free_first=free_first,
            free_last=free_last,
            free_n=free_n,
            free_days=_days(free, problem.horizon),
            dry_first=dry_first,
            dry_last=dry_last,
            dry_n=dry_n,
            capacity=_ints(resource.capacity for resource in problem.resources),
            weights=_ints((problem.weights.missed, problem.weights.makespan, problem.weights.shuffle)),
            order=_ints(range(len(steps))),
            horizon=problem.horizon,
        )
        return made._replace(order=_in_order(made))


def _ints(values: Iterable[int]) -> Ints:
    return np.array(list(values), dtype=np.int64)


def _steps(
    problem: Problem,
    links: Records,
    skills: Mapping[str, int],
    weather: Mapping[str, int],
    kept: Mapping[tuple[str, int], int],
) -> Records:
    steps = problem.steps
    jobs = {job.key: at for at, job in enumerate(problem.jobs)}
    made = np.zeros(len(steps), STEP)
    columns: dict[str, list[Any]] = {
        "job": [jobs[step.job] for step in steps],
        "skill": [skills[step.skill] if step.skill else -1 for step in steps],
        "weather": [-1 if step.weather is None else weather[step.weather] for step in steps],
        "earliest": [step.earliest if step.holds else 0 for step in steps],
        "fact": [step.under_way for step in steps],
        "since": [_since(step) for step in steps],
        "begun": [len(step.begun) for step in steps],
        "kept_sanding": [kept.get((step.key, 0), NEVER) for step in steps] if kept else [NEVER] * len(steps),
        "sit_n": [len(step.sittings) for step in steps],
        "use_n": [len(step.uses) for step in steps],
    }
    for name, values in columns.items():
        made[name] = values
    made["in_n"] = np.bincount(links["after"], minlength=len(steps))
    made["out_n"] = np.bincount(links["before"], minlength=len(steps))
    for name in ("sit", "use", "in", "out"):
        made[f"{name}_at"] = np.cumsum(made[f"{name}_n"]) - made[f"{name}_n"]
    return made


def _since(step: Step) -> int:
    if step.since is not None:
        return step.since
    return step.begun[0].start if step.begun else 0


def _begun(step: Step) -> list[int]:
    return [begun.start for begun in step.begun] + [NEVER] * (len(step.sittings) - len(step.begun))


def _begun_by(problem: Problem) -> Ints:
    person = {one.key: at for at, one in enumerate(problem.people)}
    made: list[int] = []
    for step in problem.steps:
        made += [-1 if begun.person is None else person[begun.person] for begun in step.begun]
        made += [-1] * (len(step.sittings) - len(step.begun))
    return _ints(made)


def _uses(problem: Problem) -> Records:
    resources = {resource.key: at for at, resource in enumerate(problem.resources)}
    rows = [(resources[use.resource], use.amount, HELD[use.held]) for step in problem.steps for use in step.uses]
    return np.array(rows, USE)


def _links(problem: Problem, number: Mapping[str, int]) -> Records:
    """Links by the step after; those into a step under way bind nothing any more."""
    facts = {step.key for step in problem.steps if step.under_way}
    rows = [_link(link, number) for link in problem.links if link.after not in facts]
    made = np.array(rows, LINK)
    return made[np.argsort(made["after"], kind="stable")]


def _link(link: Link, number: Mapping[str, int]) -> tuple[int, ...]:
    least = NEVER if link.least is None else link.least
    most = NEVER if link.most is None else link.most
    first = link.least is not None or link.sanding is not None
    return number[link.before], number[link.after], SINCE[link.since], least, most, link.sanding or 0, first


def _jobs(problem: Problem) -> Records:
    rows = [(NEVER if job.due is None else job.due, job.weight, job.flow) for job in problem.jobs]
    return np.array(rows, JOB)


def _free(problem: Problem) -> list[Ints]:
    """When each person is free: the hours from now on, without the sittings that are under way."""
    taken: dict[str, list[tuple[int, int]]] = {}
    for step in problem.steps:
        for begun, length in zip(step.begun, step.sittings, strict=False):
            if begun.person is not None:
                taken.setdefault(begun.person, []).append((begun.start, begun.start + length))
    free = []
    for person in problem.people:
        spans = _span_rows(person.works)
        spans = np.maximum(spans[spans[:, 1] > 0], 0)
        for start, end in taken.get(person.key, []):
            spans = np.array([piece for span in spans.tolist() for piece in _without(span, start, end)], np.int64)
            spans = spans.reshape(-1, 2)
        free.append(spans)
    return free


def _span_rows(spans: Spans) -> Ints:
    return np.array(spans, dtype=np.int64).reshape(-1, 2)


def _without(span: tuple[int, int], start: int, end: int) -> Spans:
    first, last = span
    pieces = ((first, min(last, start)), (max(first, end), last))
    return tuple((a, b) for a, b in pieces if a < b)


def _days(rows: list[Ints], horizon: int) -> Ints:
    days = np.arange(horizon // DAY + 2) * DAY
    made = np.zeros((len(rows), len(days)), np.int64)
    for at, row in enumerate(rows):
        made[at] = np.searchsorted(row[:, 1], days, side="right")
    return made


def _spans(rows: list[Ints], more: int) -> tuple[Ints, Ints, Ints]:
    """Spans as rows of two arrays, with room for ``more`` in each, and how many there are."""
    width = max((len(row) for row in rows), default=0) + more
    first, last = np.zeros((2, len(rows), width), np.int64)
    for at, row in enumerate(rows):
        first[at, : len(row)], last[at, : len(row)] = row.T
    return first, last, _ints(len(row) for row in rows)


def _in_order(made: Arrays) -> Ints:
    """Mark which links bind the order, measure the tails, and give an order."""
    from stages.planner import graph  # compiled functions take a third of a second to import

    order = graph.untie(made.steps, made.links, made.outs)
    graph.measure_tails(made.steps, made.links, made.outs, made.lengths, made.dries, order)
    return order

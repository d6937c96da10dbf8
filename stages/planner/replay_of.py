"""A problem and its plan as the arrays through which a replay goes."""

import numpy as np

from stages.planner.ahead import Days
from stages.planner.arrays import NEVER, Arrays, Ints, Records
from stages.planner.problem import Problem
from stages.planner.replay_state import (
    EVENT,
    NO_SITTING,
    PERSON,
    PLACE,
    SANDING,
    STEP,
    UNIT,
    USE,
    WEATHER,
    WEEK,
    Replay,
)
from stages.planner.schedule import Placed, Schedule
from stages.planner.timegrid import Spans


def replay_of(problem: Problem, arrays: Arrays, schedule: Schedule, days: Days) -> Replay:
    """Write a plan of a problem as arrays."""
    steps = _steps(problem, arrays, schedule)
    units = _units(problem, arrays, schedule, steps)
    uses = np.zeros(len(arrays.uses), USE)
    for name in ("resource", "amount", "held"):
        uses[name] = arrays.uses[name]
    uses["step"] = np.repeat(np.arange(len(steps)), arrays.steps["use_n"])
    until = 2 * max(problem.horizon, int(steps["plan_end"].max(initial=0)) + WEEK)
    works = [again_and_again(person.works, until) for person in problem.people]
    work_first, work_last = _rows(works)
    people, person_units = _people(units, works)
    places, place_uses = _places(arrays, steps, uses)
    weathers = np.zeros(len(days.n), WEATHER)
    weathers["n"] = days.n
    events = 8 * (len(units) + len(steps)) + 2 * (len(people) + len(weathers)) + 64
    return Replay(
        steps=steps,
        units=units,
        uses=uses,
        links=arrays.links,
        outs=arrays.outs,
        people=people,
        person_units=person_units,
        places=places,
        place_uses=place_uses,
        weathers=weathers,
        skill_at=arrays.skill_at,
        skill_people=arrays.skill_people,
        able=np.zeros(len(arrays.skill_at) - 1, np.int64),
        work_first=work_first,
        work_last=work_last,
        dry_first=days.first,
        dry_last=days.last,
        dry_plan=days.planned,
        dry=days.planned.copy(),
        order=arrays.order,
        pool=np.zeros(len(units), np.int64),
        head=np.zeros(until + 1, np.int64),
        events=np.zeros(events, EVENT),
        counts=np.zeros(6, np.int64),
        window=np.zeros((3, len(uses) + 1), np.int64),
    )


def again_and_again(spans: Spans, until: int) -> Spans:
    """Spans after now, the last week of them repeated until a slot: a replay may run longer than any calendar."""
    found = [(max(0, first), last) for first, last in spans if last > 0]
    week = [span for span in found if span[0] >= found[-1][1] - WEEK]
    shift = WEEK
    while week and found[-1][1] < until:
        found += [(first + shift, last + shift) for first, last in week]
        shift += WEEK
    return tuple(found)


def _rows(works: list[Spans]) -> tuple[Ints, Ints]:
    first, last = np.zeros((2, len(works), max((len(spans) for spans in works), default=0)), np.int64)
    for at, spans in enumerate(works):
        first[at, : len(spans)], last[at, : len(spans)] = np.array(spans, np.int64).reshape(-1, 2).T
    return first, last


def _steps(problem: Problem, arrays: Arrays, schedule: Schedule) -> Records:
    steps = np.zeros(len(problem.steps), STEP)
    same: tuple[str, ...] = ("fact", "since", "skill", "weather", "earliest", "sit_n")
    same += ("use_at", "use_n", "in_at", "in_n", "out_at", "out_n")
    for name in same:
        steps[name] = arrays.steps[name]
    steps["dry"] = arrays.dries
    number = {step.key: at for at, step in enumerate(problem.steps)}
    for one in schedule.placed:
        step = steps[number[one.step]]
        step["placed"] = 1
        step["plan_start"], step["plan_coat"], step["plan_end"] = one.start, one.coat_start, one.hands_end
    np.add.at(steps["windows"], arrays.links["after"], arrays.links["sanding"] > 0)
    steps["begun_until"], steps["begun_by"] = -NEVER, -1
    for at in np.flatnonzero(arrays.steps["begun"]):
        last = arrays.steps[at]["sit_at"] + arrays.steps[at]["begun"] - 1
        steps[at]["begun_until"] = arrays.begun_at[last] + arrays.lengths[last]
        steps[at]["begun_by"] = arrays.begun_by[last]
    return steps


def _units(problem: Problem, arrays: Arrays, schedule: Schedule, steps: Records) -> Records:
    """The units in the plan's order; writes each step's first ones too."""
    number = {step.key: at for at, step in enumerate(problem.steps)}
    person = {one.key: at for at, one in enumerate(problem.people)} | {None: -1}
    rows = [row for one in schedule.placed for row in _of_step(one, number[one.step], arrays, person)]
    rows.sort(key=lambda row: (row[2], row[0], max(row[1], -1)))
    units = np.zeros(len(rows), UNIT)
    names = ("step", "sitting", "start", "length", "person")
    for name, values in zip(names, np.array(rows, np.int64).reshape(-1, 5).T, strict=True):
        units[name] = values
    units["skill"] = np.where(units["length"] > 0, steps["skill"][units["step"]], -1)
    units["weather"] = steps["weather"][units["step"]]
    steps["first"], steps["own"] = -1, -1
    for at in range(len(units) - 1, -1, -1):
        step = steps[units[at]["step"]]
        units[at]["next"] = step["first"]
        step["first"] = at
        if units[at]["sitting"] != SANDING:
            step["own"] = at
    return units


def _of_step(
    one: Placed, at: int, arrays: Arrays, person: dict[str | None, int]
) -> list[tuple[int, int, int, int, int]]:
    """Its sittings that have not begun; for a step that needs none and is not under way, its start."""
    step = arrays.steps[at]
    if not one.sittings:
        return [] if step["fact"] else [(at, NO_SITTING, one.start, 0, -1)]
    return [
        (at, sitting.number or SANDING, sitting.start, sitting.end - sitting.start, person[sitting.person])
        for sitting in one.sittings
        if sitting.number == 0 or sitting.number > step["begun"]
    ]


def _people(units: Records, works: list[Spans]) -> tuple[Records, Ints]:
    people = np.zeros(len(works), PERSON)
    by_person = np.argsort(units["person"], kind="stable")
    bounds = np.searchsorted(units["person"][by_person], np.arange(len(works) + 1))
    people["unit_at"], people["unit_n"] = bounds[:-1], np.diff(bounds)
    people["work_n"] = [len(spans) for spans in works]
    people["longest"] = [max((last - first for first, last in spans), default=0) for spans in works]
    return people, by_person.astype(np.int64)


def _places(arrays: Arrays, steps: Records, uses: Records) -> tuple[Records, Ints]:
    places = np.zeros(len(arrays.capacity), PLACE)
    places["capacity"] = arrays.capacity
    rows = np.lexsort((steps["plan_start"][uses["step"]], uses["resource"]))
    rows = rows[steps["placed"][uses["step"][rows]] == 1]
    bounds = np.searchsorted(uses["resource"][rows], np.arange(len(places) + 1))
    places["use_at"], places["use_n"] = bounds[:-1], np.diff(bounds)
    uses["row"][rows] = np.arange(len(rows))
    return places, rows.astype(np.int64)

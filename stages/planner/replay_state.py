"""Where everything stands in a replay, and what comes when."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stages.planner.arrays import NEVER, Ints, Records
from stages.planner.compiled import compiled_within
from stages.planner.timegrid import SLOTS_A_DAY

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

WAITING, BEGUN, DRYING_ON, DONE = 0, 1, 2, 3  # stages of a step
SANDING, NO_SITTING = -2, -1  # what a unit is that is no sitting of its own
WAKE, HANDS_FREE, STEP_READY, STEP_FREE, PRESENT, DRY_WEATHER = range(6)  # kinds of events
IN_POOL, FREE_EVENT, OFF_PLAN, TODAY, OPEN_STEPS, STUCK = range(6)  # places in `Replay.counts`
WEEK = 7 * SLOTS_A_DAY


def _record(*names: str) -> np.dtype[np.void]:
    return np.dtype([(name, np.int64) for name in names])


# In each, what the problem and the plan say comes first, in the last row what the replay writes.
# first: a step's first unit that has not begun; own: the first that is no sanding; windows: links that may cost one.
# coat, end and ready: when it happened, else when it is expected; known_coat: whether the coat is on. sanded: it needs
# no sanding any more; stuck: its hands are done and the rack has no room.
STEP = _record(
    *("placed", "fact", "since", "skill", "weather", "earliest", "dry", "sit_n", "begun_until", "begun_by"),
    *("use_at", "use_n", "in_at", "in_n", "out_at", "out_n", "first", "own", "windows"),
    *("plan_start", "plan_coat", "plan_end"),
    *("stage", "start", "coat", "end", "ready", "known_coat", "real_dry", "waits", "may", "sanded", "stuck"),
)
# A unit is what is dispatched: one sitting, or a step that needs none. Units are numbered in the plan's order, which is
# also that in which they are served. left: slots still to be worked; by: who sat last, or is planned to.
UNIT = _record(*("step", "sitting", "start", "length", "person", "skill", "weather", "next"), *("left", "worked", "by"))
USE = _record("resource", "amount", "held", "step", "row")  # row: its place in `place_uses`
# busy: whether at something; free_for: slots until they go home, 0 where busy or away; low: the first unit not begun.
PERSON = _record(*("unit_at", "unit_n", "work_n", "longest"), *("busy", "free_for", "span", "low"))
# low: the first of its uses whose step is not done; high: the last of those whose step has begun.
PLACE = _record(*("capacity", "use_at", "use_n"), *("used", "low", "high"))
WEATHER = _record(*("n",), *("span", "lasts"))
EVENT = _record("next", "kind", "who")


class Replay(NamedTuple):
    """A plan and one replay of it; the same arrays serve again and again."""

    steps: Records
    units: Records
    uses: Records
    links: Records
    outs: Ints
    people: Records
    person_units: Ints  # units by the person that the plan names
    places: Records
    place_uses: Ints  # uses by resource and the steps' planned starts
    weathers: Records
    skill_at: Ints
    skill_people: Ints
    able: Ints  # by skill: how long whoever has it and is free is there yet
    work_first: Ints  # by person: the hours from now on, the last week's again and again after the last
    work_last: Ints
    dry_first: Ints
    dry_last: Ints
    dry_plan: Flags  # by weather and span: whether the plan takes it for dry
    dry: Flags  # and whether it is
    order: Ints  # an order of the steps that keeps the links
    pool: Ints  # units that may go on, in order
    head: Ints  # by slot: the first of its events, -1 for none
    events: Records
    counts: Ints
    window: Ints  # what a look at the places works in: starts, ends, amounts


@compiled_within
def wipe(s: Replay, slow: Floats, damp: Floats, dry: Flags) -> None:
    """As before the first slot, with what this replay is to bring: see `stages.planner.dispatch.replay`."""
    for v in range(len(s.steps)):
        step = s.steps[v]
        step["stage"], step["known_coat"], step["waits"], step["may"] = WAITING, 0, 0, 0
        step["sanded"], step["stuck"] = 0, 0
        step["start"], step["coat"], step["end"] = step["plan_start"], step["plan_coat"], step["plan_end"]
        step["ready"] = step["end"] + step["dry"]
        step["real_dry"] = max(1, round(step["dry"] * damp[v])) if step["dry"] > 0 else 0
        _measure(s, v, slow[v])
    for at in range(len(s.people)):
        person = s.people[at]
        person["busy"], person["free_for"], person["span"], person["low"] = 0, 0, 0, 0
    for at in range(len(s.places)):
        s.places[at]["used"], s.places[at]["low"], s.places[at]["high"] = 0, 0, -1
    for at in range(len(s.weathers)):
        s.weathers[at]["span"] = 0
        for day in range(dry.shape[1]):
            s.dry[at, day] = dry[at, day]
    s.head[:] = -1
    for at in range(len(s.events)):
        s.events[at]["next"] = at + 1
    s.counts[IN_POOL], s.counts[FREE_EVENT], s.counts[OFF_PLAN], s.counts[TODAY], s.counts[OPEN_STEPS] = (
        0,
        0,
        NEVER,
        -1,
        0,
    )


@compiled_within
def _measure(s: Replay, v: int, slow: float) -> None:
    """How long each unit really takes: a step's sittings together what it is slowed to, to the slot."""
    planned, taken = 0, 0
    u = s.steps[v]["first"]
    while u >= 0:
        unit = s.units[u]
        unit["left"], unit["worked"], unit["by"] = unit["length"], 0, unit["person"]
        if unit["sitting"] > 0:
            planned += unit["length"]
            unit["left"] = max(1, round(planned * slow) - taken)
            taken += unit["left"]
        u = unit["next"]


@compiled_within
def post(s: Replay, t: int, kind: int, who: int) -> None:
    """Note what comes at a slot; what would come after the end of the replay never does."""
    if t >= len(s.head):
        return
    number = s.counts[FREE_EVENT]
    event = s.events[number]
    s.counts[FREE_EVENT] = event["next"]
    event["next"], event["kind"], event["who"] = s.head[t], kind, who
    s.head[t] = number


@compiled_within
def take_event(s: Replay, t: int) -> int:
    """An event of a slot, taken off; there must be one."""
    number = s.head[t]
    s.head[t] = s.events[number]["next"]
    s.events[number]["next"] = s.counts[FREE_EVENT]
    s.counts[FREE_EVENT] = number
    return int(number)


@compiled_within
def into_pool(s: Replay, u: int) -> None:
    """A unit may go on."""
    at = s.counts[IN_POOL]
    while at > 0 and s.pool[at - 1] > u:
        s.pool[at] = s.pool[at - 1]
        at -= 1
    s.pool[at] = u
    s.counts[IN_POOL] += 1


@compiled_within
def out_of_pool(s: Replay, at: int) -> None:
    """The unit at a place of the pool has started."""
    s.counts[IN_POOL] -= 1
    for on in range(at, s.counts[IN_POOL]):
        s.pool[on] = s.pool[on + 1]


@compiled_within
def off_plan_at(s: Replay, t: int) -> None:
    """From a slot on, something is seen not to go as planned."""
    if t < s.counts[OFF_PLAN]:
        s.counts[OFF_PLAN] = t
        post(s, t, WAKE, 0)

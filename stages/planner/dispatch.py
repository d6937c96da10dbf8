"""Replays of a plan: work is dispatched as it becomes ready, in the plan's order, and nobody knows how long it takes.

A sitting that lasts longer than expected goes on in the next hours of work; one that is over sooner frees its hands.
What stands later in the plan fills a gap when hands and a place are free, unless those hands are soon wanted, by what
is expected at that moment, for something planned before it. Until something is seen to go otherwise, it is followed.
"""

from stages.planner.arrays import HANDS, NEVER, READY, Records
from stages.planner.compiled import compiled, compiled_within
from stages.planner.pressing import foresee, moment
from stages.planner.replay_state import (
    BEGUN,
    DONE,
    DRY_WEATHER,
    HANDS_FREE,
    IN_POOL,
    OFF_PLAN,
    OPEN_STEPS,
    PRESENT,
    STEP_FREE,
    STEP_READY,
    TODAY,
    Flags,
    Floats,
    Replay,
    off_plan_at,
    out_of_pool,
    post,
    take_event,
    wipe,
)
from stages.planner.starting import dry_for, free_for, look_round, start_as_planned, try_to_start
from stages.planner.timegrid import SLOTS_A_DAY
from stages.planner.turns import coat_on, dried, hands_done, offer, paused, take_places


@compiled
def replay(s: Replay, slow: Floats, damp: Floats, dry: Flags) -> None:
    """Replay a plan once; the steps' ``ready`` then tells when each was, or the end of the replay if it was not.

    Parameters
    ----------
    s : Replay
        The plan, and room to work in.
    slow, damp : arrays of float
        Of every step: what its hands-on and its dry time are multiplied by.
    dry : array of bool
        By weather and span: whether that day is dry.
    """
    wipe(s, slow, damp, dry)
    _begin(s, slow, damp)
    for t in range(len(s.head)):
        while s.head[t] >= 0:
            while s.head[t] >= 0:
                _happen(s, t)
            _dispatch(s, t)
        if s.counts[OPEN_STEPS] == 0:
            return
    for v in range(len(s.steps)):
        if s.steps[v]["stage"] != DONE:
            s.steps[v]["ready"] = len(s.head)


@compiled_within
def _begin(s: Replay, slow: Floats, damp: Floats) -> None:
    """What is under way goes on; what waits for nothing may start."""
    for who in range(len(s.people)):
        _next_hours(s, who, 0)
    for w in range(len(s.weathers)):
        _next_dry(s, w, 0)
        for at in range(s.weathers[w]["n"]):
            if s.dry[w, at] != s.dry_plan[w, at]:
                off_plan_at(s, s.dry_first[w, at])
                break
    for v in range(len(s.steps)):
        step = s.steps[v]
        if step["placed"] == 1:
            s.counts[OPEN_STEPS] += 1
            _bind(s, step)
            if step["fact"] == 0 and step["waits"] == 0:
                post(s, max(step["may"], step["earliest"]), STEP_FREE, v)
    for v in range(len(s.steps)):
        if s.steps[v]["placed"] == 1 and s.steps[v]["fact"] == 1:
            _go_on(s, v, slow[v], damp[v])


@compiled_within
def _bind(s: Replay, step: Records) -> None:
    """Count the links that a step waits for; one that lets it overlap with the step before is taken as planned."""
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = s.links[at]
        before = s.steps[link["before"]]
        if link["least"] == NEVER or before["placed"] == 0:
            continue
        if link["least"] >= 0:
            step["waits"] += 1
        else:
            step["may"] = max(step["may"], moment(before, link["since"]) + link["least"])


@compiled_within
def _go_on(s: Replay, v: int, slow: float, damp: float) -> None:
    """A step that is under way keeps its places, its sitting goes on; of that only the rest is uncertain."""
    step = s.steps[v]
    step["stage"] = BEGUN
    take_places(s, v, HANDS)
    take_places(s, v, READY)
    begun_until = step["begun_until"]
    if begun_until > -NEVER or step["sit_n"] == 0:
        coat_on(s, v, step["plan_coat"], 0)
    if begun_until > 0:
        rest = max(1, round(begun_until * slow))
        if rest != begun_until:
            off_plan_at(s, min(rest, begun_until))
        if step["begun_by"] >= 0:
            s.people[step["begun_by"]]["busy"] = 1
        post(s, rest, HANDS_FREE, len(s.units) + v)
    elif step["first"] >= 0:
        offer(s, step["first"], 0)
    else:
        planned = step["plan_end"] + step["dry"]
        step["real_dry"] = step["dry"] if planned <= 0 else max(1, round(planned * damp)) - step["plan_end"]
        hands_done(s, v, step["plan_end"], 0)


@compiled_within
def _happen(s: Replay, t: int) -> None:
    event = s.events[take_event(s, t)]
    kind, who = event["kind"], event["who"]
    if kind == PRESENT:
        _next_hours(s, who, t)
    elif kind == DRY_WEATHER:
        _next_dry(s, who, t)
    elif kind == STEP_FREE:
        offer(s, s.steps[who]["first"], t)
    elif kind == STEP_READY:
        dried(s, who, t)
    elif kind == HANDS_FREE:
        paused(s, who, t)


@compiled_within
def _next_hours(s: Replay, who: int, t: int) -> None:
    """Look again when a person's next hours begin."""
    person = s.people[who]
    at = person["span"]
    while at < person["work_n"] and s.work_first[who, at] <= t:
        at += 1
    if at < person["work_n"]:
        post(s, s.work_first[who, at], PRESENT, who)


@compiled_within
def _next_dry(s: Replay, w: int, t: int) -> None:
    """Look again when the next dry weather begins."""
    at = s.weathers[w]["span"]
    while at < s.weathers[w]["n"] and (s.dry_first[w, at] <= t or not s.dry[w, at]):
        at += 1
    if at < s.weathers[w]["n"]:
        post(s, s.dry_first[w, at], DRY_WEATHER, w)


@compiled_within
def _dispatch(s: Replay, t: int) -> None:
    """Start what can start now, in the plan's order."""
    for who in range(len(s.people)):
        s.people[who]["free_for"] = free_for(s, who, t)
    for w in range(len(s.weathers)):
        s.weathers[w]["lasts"] = dry_for(s, w, t)
    look_round(s)
    off_plan = t >= s.counts[OFF_PLAN]
    if off_plan and t // SLOTS_A_DAY != s.counts[TODAY]:
        s.counts[TODAY] = t // SLOTS_A_DAY
        foresee(s, t)
    at = 0
    while at < s.counts[IN_POOL]:
        u = s.pool[at]
        unit = s.units[u]
        needed = 1 if unit["worked"] > 0 else unit["length"]
        if (unit["skill"] >= 0 and s.able[unit["skill"]] < needed) or (
            unit["weather"] >= 0 and s.weathers[unit["weather"]]["lasts"] < needed
        ):
            at += 1
        elif try_to_start(s, u, t) if off_plan else start_as_planned(s, u, t):
            out_of_pool(s, at)
            look_round(s)
        else:
            at += 1

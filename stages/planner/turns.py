"""What follows in a replay when a sitting is over or a coat is dry: who is free, what may start, which places are."""

from stages.planner.arrays import DRYING, HANDS, NEVER, READY
from stages.planner.compiled import compiled_within
from stages.planner.replay_state import (
    DONE,
    DRYING_ON,
    OPEN_STEPS,
    SANDING,
    STEP_FREE,
    STEP_READY,
    STUCK,
    WAKE,
    Replay,
    into_pool,
    off_plan_at,
    post,
)


@compiled_within
def offer(s: Replay, u: int, t: int) -> None:
    """A unit may go on; it is looked at again when the plan has it."""
    into_pool(s, u)
    post(s, max(t, s.units[u]["start"]), WAKE, 0)


@compiled_within
def coat_on(s: Replay, v: int, at: int, t: int) -> None:
    s.steps[v]["coat"], s.steps[v]["known_coat"] = at, 1
    met(s, v, 0, at, t)


@compiled_within
def met(s: Replay, v: int, since: int, moment: int, t: int) -> None:
    """A moment of a step is known: what waited for it may start from then on."""
    for out in range(s.steps[v]["out_at"], s.steps[v]["out_at"] + s.steps[v]["out_n"]):
        link = s.links[s.outs[out]]
        if link["since"] != since or link["least"] == NEVER or link["least"] < 0:
            continue
        after = s.steps[link["after"]]
        after["may"] = max(after["may"], moment + link["least"])
        after["waits"] -= 1
        if after["waits"] == 0 and after["placed"] == 1:
            post(s, max(t, after["may"], after["earliest"]), STEP_FREE, link["after"])


@compiled_within
def take_places(s: Replay, v: int, held: int) -> None:
    step = s.steps[v]
    for at in range(step["use_at"], step["use_at"] + step["use_n"]):
        use = s.uses[at]
        place = s.places[use["resource"]]
        if use["held"] == held:
            place["used"] += use["amount"]
        place["high"] = max(place["high"], use["row"])


@compiled_within
def give_places(s: Replay, v: int, held: int) -> None:
    step = s.steps[v]
    for at in range(step["use_at"], step["use_at"] + step["use_n"]):
        use = s.uses[at]
        if use["held"] == held:
            s.places[use["resource"]]["used"] -= use["amount"]


@compiled_within
def room(s: Replay, v: int, held: int) -> bool:
    """Whether there is room now for what a step takes in this way."""
    step = s.steps[v]
    for at in range(step["use_at"], step["use_at"] + step["use_n"]):
        use = s.uses[at]
        place = s.places[use["resource"]]
        if use["held"] == held and place["used"] + use["amount"] > place["capacity"]:
            return False
    return True


@compiled_within
def paused(s: Replay, u: int, t: int) -> None:
    """A stretch of a sitting is over: the day ended, or the sitting did."""
    if u >= len(s.units):
        v = u - len(s.units)
        who, after = s.steps[v]["begun_by"], s.steps[v]["first"]
    else:
        unit = s.units[u]
        v, who, after = unit["step"], unit["by"], unit["next"]
        if unit["sitting"] == SANDING:
            s.steps[v]["sanded"] = 1
    if who >= 0:
        s.people[who]["busy"] = 0
    if u < len(s.units) and s.units[u]["left"] > 0:
        into_pool(s, u)
    elif after >= 0:
        offer(s, after, t)
    else:
        hands_done(s, v, t, t)


@compiled_within
def hands_done(s: Replay, v: int, end: int, t: int) -> None:
    """All sittings of a step are over: it dries, in its place or on the rack."""
    step = s.steps[v]
    step["stage"] = DRYING_ON
    step["end"] = end
    step["ready"] = end + step["dry"]
    ready = end + step["real_dry"]
    if ready != step["ready"]:
        off_plan_at(s, max(t, min(ready, step["ready"])))
    if ready <= t or step["fact"] == 1 or room(s, v, DRYING):
        take_places(s, v, DRYING)
        give_places(s, v, HANDS)
    else:
        step["stuck"] = 1
        s.counts[STUCK] += 1
    met(s, v, 1, end, t)
    met(s, v, 2, ready, t)
    post(s, max(t, ready), STEP_READY, v)


@compiled_within
def dried(s: Replay, v: int, t: int) -> None:
    """A step is ready: its places are free, and what stood in the way of a rack moves on to it."""
    step = s.steps[v]
    step["stage"] = DONE
    step["ready"] = step["end"] + step["real_dry"]
    s.counts[OPEN_STEPS] -= 1
    give_places(s, v, READY)
    give_places(s, v, HANDS if step["stuck"] == 1 else DRYING)
    s.counts[STUCK] -= step["stuck"]
    step["stuck"] = 0
    for w in range(len(s.steps) if s.counts[STUCK] > 0 else 0):
        if s.steps[w]["stuck"] == 1 and room(s, w, DRYING):
            s.steps[w]["stuck"] = 0
            s.counts[STUCK] -= 1
            take_places(s, w, DRYING)
            give_places(s, w, HANDS)

"""A step gets its place: hands and room are taken, and what it costs is counted."""

from stages.planner.arrays import DRYING, HANDS, NEVER, Arrays, Ints, Record
from stages.planner.compiled import part
from stages.planner.room import fill, take
from stages.planner.state import PLACED, State
from stages.planner.timegrid import SLOTS_A_DAY


@part
def commit(a: Arrays, s: State, v: int, lengths: Ints) -> None:
    """Take the hands and places where a step now lies, and count what it costs."""
    step, place = a.steps[v], s.places[v]
    place["state"] = PLACED
    if place["sanding"] > 0 and place["sanding_by"] >= 0:
        _book(s, place["sanding_by"], place["sanding_at"], place["sanding"])
    for k in range(step["begun"], step["sit_n"]):
        at = step["sit_at"] + k
        if s.people[at] >= 0:
            _book(s, s.people[at], s.starts[at], lengths[at])
    for at in range(step["use_at"], step["use_at"] + step["use_n"]):
        use = a.uses[at]
        r = use["resource"]
        first = place["end"] if use["held"] == DRYING else place["start"]
        last = place["ready"] if use["held"] != HANDS else place["end"]
        s.times_n[r] = fill(s.times[r], s.levels[r], s.times_n[r], first, last, use["amount"])
    _count(a, s, v)


@part
def _book(s: State, p: int, start: int, length: int) -> None:
    s.free_n[p] = take(s.free_first[p], s.free_last[p], s.free_days[p], s.free_n[p], start, start + length)


@part
def _count(a: Arrays, s: State, v: int) -> None:
    """Add what a step's place costs: what its boat can no longer avoid, its sanding, what it moves."""
    step, place = a.steps[v], s.places[v]
    job = a.jobs[step["job"]]
    before, done = s.done[step["job"]], place["ready"] + step["tail"]
    if done > before:
        s.done[step["job"]] = done
        s.totals[0] += job["flow"] * (max(0, done) - max(0, before))
        if job["due"] != NEVER:
            s.totals[0] += job["weight"] * (max(0, done - job["due"]) - max(0, before - job["due"]))
        if done > s.totals[1]:
            s.totals[0] += a.weights[1] * (done - s.totals[1])
            s.totals[1] = done
    if place["sanding"] > 0:
        s.totals[0] += a.weights[0]
    if a.weights[2] > 0:
        s.totals[0] += a.weights[2] * _moved(a, s, step, place)


@part
def _moved(a: Arrays, s: State, step: Record, place: Record) -> int:
    """Slots by which the sittings of a step moved since the plan before, a day's at most each."""
    moved = 0
    if place["sanding"] > 0 and step["kept_sanding"] != NEVER:
        moved += min(SLOTS_A_DAY, abs(place["sanding_at"] - step["kept_sanding"]))
    for at in range(step["sit_at"], step["sit_at"] + step["sit_n"]):
        if a.kept_at[at] != NEVER:
            moved += min(SLOTS_A_DAY, abs(s.starts[at] - a.kept_at[at]))
    return moved

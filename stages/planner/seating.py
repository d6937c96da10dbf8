"""The soonest places for the sittings of one step: hands, weather and room at once."""

from stages.planner.arrays import DAY, DRYING, HANDS, NEVER, Arrays, Ints, Record
from stages.planner.compiled import part
from stages.planner.room import find, full_until, gap
from stages.planner.state import NO_HOURS, NO_ROOM, State, leave


@part
def settle(a: Arrays, s: State, v: int, start: int, end: int, lengths: Ints, dries: Ints) -> bool:
    """Find the soonest sittings for which there is room; leaves the step out where there are none."""
    step, place = a.steps[v], s.places[v]
    while True:
        if not _seat(a, s, v, start, end, lengths):
            leave(s, v, NO_HOURS, 0)
            return False
        place["ready"] = place["end"] + dries[v]
        moved = False
        for at in range(step["use_at"], step["use_at"] + step["use_n"]):
            use = a.uses[at]
            if step["fact"] and (use["held"] != DRYING or step["begun"] == step["sit_n"]):
                continue
            first = place["end"] if use["held"] == DRYING else place["start"]
            last = place["end"] if use["held"] == HANDS else place["ready"]
            r = use["resource"]
            until = full_until(s.times[r], s.levels[r], s.times_n[r], first, last, a.capacity[r] - use["amount"])
            if until >= a.horizon:
                leave(s, v, NO_ROOM, r)
                return False
            if until > first:
                moved = True
                if use["held"] == DRYING:
                    end = max(end, until)
                else:
                    start = max(start, until)
        if not moved:
            return True


@part
def _seat(a: Arrays, s: State, v: int, start: int, end: int, lengths: Ints) -> bool:
    """Seat somebody at each sitting from a slot on, the last not ending before another; False past the horizon."""
    step, place = a.steps[v], s.places[v]
    now, who = start, -1
    for k in range(-1 if place["sanding"] > 0 else 0, step["sit_n"]):
        at = step["sit_at"] + k
        length = lengths[at] if k >= 0 else place["sanding"]
        if 0 <= k < step["begun"]:
            s.starts[at], s.people[at] = a.begun_at[at], a.begun_by[at]
            now = a.begun_at[at] + length
            continue
        now = max(now, 0)
        if k == step["sit_n"] - 1:
            now = max(now, end - length)
        who, now = _hands(a, s, step, now, length, who)
        if now >= a.horizon:
            return False
        if k >= 0:
            s.starts[at], s.people[at] = now, who
        else:
            place["sanding_at"], place["sanding_by"] = now, who
        now += length
    if step["sit_n"] == 0 and place["sanding"] == 0:
        now = step["since"] if step["fact"] else max(now, end)
    _frame(s, step, place, now)
    return bool(step["fact"] or place["start"] < a.horizon)


@part
def _frame(s: State, step: Record, place: Record, end: int) -> None:
    """Write where a seated step starts and where its hands end."""
    place["end"] = end
    first = s.starts[step["sit_at"]] if step["sit_n"] > 0 else end
    place["start"] = place["sanding_at"] if place["sanding"] > 0 else first
    place["coat"] = first if step["sit_n"] > 0 else place["start"]
    if step["fact"]:
        place["start"] = step["since"]


@part
def _hands(a: Arrays, s: State, step: Record, start: int, length: int, before: int) -> tuple[int, int]:
    """Who can sit first from a slot on, and when: whoever sat before, else whoever can do least besides."""
    if step["skill"] < 0:
        return -1, _dry(a, step["weather"], start, length)
    who, soonest = -1, NEVER
    if before >= 0:
        who, soonest = before, _free(a, s, before, step["weather"], start, length)
    for at in range(a.skill_at[step["skill"]], a.skill_at[step["skill"] + 1]):
        if soonest == start:
            break
        p = a.skill_people[at]
        when = _free(a, s, p, step["weather"], start, length)
        if when < soonest:
            who, soonest = p, when
    return who, soonest


@part
def _dry(a: Arrays, weather: int, start: int, length: int) -> int:
    """The first slot from which the weather allows a sitting."""
    if weather < 0:
        return start
    last, count = a.dry_last[weather], a.dry_n[weather]
    return int(gap(a.dry_first[weather], last, count, find(last, count, start), start, length))


@part
def _free(a: Arrays, s: State, p: int, weather: int, start: int, length: int) -> int:
    """The first slot from which a person is free, in weather that allows a sitting."""
    now = start
    while now < a.horizon:
        free = gap(s.free_first[p], s.free_last[p], s.free_n[p], s.free_days[p, now // DAY], now, length)
        now = _dry(a, weather, free, length)
        if now == free:
            return int(now)
    return NEVER

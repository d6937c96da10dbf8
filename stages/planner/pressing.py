"""What can be expected in the midst of a replay: when a step starts and ends, who is wanted, where there is room."""

from stages.planner.arrays import DRYING, HANDS, NEVER, Records
from stages.planner.compiled import compiled_within
from stages.planner.replay_state import BEGUN, DONE, DRYING_ON, WAITING, Replay


@compiled_within
def foresee(s: Replay, t: int) -> None:
    """Where each step is expected to start and end, by what is behind it: no sooner than planned, nor than now."""
    steps, links, order = s.steps, s.links, s.order
    for at in range(len(order)):
        step = steps[order[at]]
        if step["stage"] == WAITING and step["placed"] == 1:
            soonest = max(step["plan_start"], t)
            for link_at in range(step["in_at"], step["in_at"] + step["in_n"]):
                link = links[link_at]
                if 0 <= link["least"] < NEVER:
                    before = steps[link["before"]]
                    since = link["since"]
                    known = before["coat"] if since == 0 else before["end"] if since == 1 else before["ready"]
                    soonest = max(soonest, known + link["least"])
            shift = soonest - step["plan_start"]
            step["start"] = soonest
            step["coat"] = step["plan_coat"] + shift
            step["end"] = step["plan_end"] + shift
            step["ready"] = step["end"] + step["dry"]
        elif step["stage"] == BEGUN and step["end"] <= t:
            step["end"] = t + 1
            step["ready"] = step["end"] + step["dry"]


@compiled_within
def expect_from(step: Records, start: int) -> None:
    """Expect a step to take from its start what the plan gives it."""
    shift = start - step["plan_start"]
    step["start"] = start
    if step["known_coat"] == 0:
        step["coat"] = step["plan_coat"] + shift
    step["end"] = step["plan_end"] + shift
    step["ready"] = step["end"] + step["dry"]


@compiled_within
def moment(step: Records, since: int) -> int:
    """When its coat starts (0), its hands are done (1) or it is dry (2)."""
    if since == 0:
        return int(step["coat"])
    return int(step["end"]) if since == 1 else int(step["ready"])


@compiled_within
def wanted(s: Replay, who: int, u: int, t: int, until: int) -> bool:
    """Whether a person is wanted by then for something planned before a unit, that cannot start yet."""
    person = s.people[who]
    last = person["unit_at"] + person["unit_n"]
    while (
        person["low"] < person["unit_n"] and s.units[s.person_units[person["unit_at"] + person["low"]]]["worked"] != 0
    ):
        person["low"] += 1
    for at in range(person["unit_at"] + person["low"], last):
        other = s.person_units[at]
        unit = s.units[other]
        if other >= u or unit["start"] >= until:
            return False
        if unit["worked"] == 0:
            step = s.steps[unit["step"]]
            if t < step["start"] + unit["start"] - step["plan_start"] < until:
                return True
    return False


@compiled_within
def crowded(s: Replay, v: int, at_use: int, t: int) -> bool:
    """Whether a step that starts now is expected to find a place full, now or when it comes to dry there."""
    use, step = s.uses[at_use], s.steps[v]
    place = s.places[use["resource"]]
    hands = step["plan_end"] - step["plan_start"]
    begin = t + hands if use["held"] == DRYING else t
    end = t + hands if use["held"] == HANDS else t + hands + step["dry"]
    n = _taken(s, use["resource"], t, begin, end)
    most = place["capacity"] - use["amount"]
    if _full_at(s, n, begin) > most:
        return True
    for at in range(n):  # noqa: SIM110
        if s.window[0, at] > begin and _full_at(s, n, s.window[0, at]) > most:
            return True
    return False


@compiled_within
def _taken(s: Replay, r: int, t: int, begin: int, end: int) -> int:
    """Write down what that is under way has a place between two slots, as far as can be expected; how many."""
    place = s.places[r]
    low = place["low"]
    while low < place["use_n"] and s.steps[s.uses[s.place_uses[place["use_at"] + low]]["step"]]["stage"] == DONE:
        low += 1
    place["low"] = low
    n = 0
    for at in range(place["use_at"] + low, place["high"] + 1):
        use = s.uses[s.place_uses[at]]
        step = s.steps[use["step"]]
        if step["stage"] == WAITING or step["stage"] == DONE:
            continue
        if step["stage"] == DRYING_ON and use["held"] == HANDS and step["stuck"] == 0:
            continue
        first = step["end"] if use["held"] == DRYING else step["start"]
        until = max(step["end"] if use["held"] == HANDS else step["ready"], t + 1)
        if first < end and until > begin:
            s.window[0, n], s.window[1, n], s.window[2, n] = first, until, use["amount"]
            n += 1
    return n


@compiled_within
def _full_at(s: Replay, n: int, moment: int) -> int:
    taken = 0
    for at in range(n):
        if s.window[0, at] <= moment < s.window[1, at]:
            taken += s.window[2, at]
    return taken

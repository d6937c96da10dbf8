"""What may start in a replay, and who sits: in the plan's order, as soon as hands, weather and places allow."""

from stages.planner.arrays import HANDS, NEVER, READY, Records
from stages.planner.compiled import compiled_within
from stages.planner.pressing import crowded, expect_from, moment, wanted
from stages.planner.replay_state import BEGUN, DONE, DRYING_ON, HANDS_FREE, SANDING, WAITING, Replay, off_plan_at, post
from stages.planner.turns import coat_on, hands_done, room, take_places

# Hands wait for what was planned before if it is expected within this part of a sitting. Waiting for all of it, or
# keeping places free for it, was measured: medians of invented shops then lie 2 to 5 % late.
SOON = 4


@compiled_within
def look_round(s: Replay) -> None:
    """For each skill, how long whoever has it and is free is there yet."""
    for skill in range(len(s.able)):
        longest = 0
        for at in range(s.skill_at[skill], s.skill_at[skill + 1]):
            longest = max(longest, s.people[s.skill_people[at]]["free_for"])
        s.able[skill] = longest


@compiled_within
def free_for(s: Replay, who: int, t: int) -> int:
    """Slots until a person goes home; 0 where they are busy or away."""
    person = s.people[who]
    while person["span"] < person["work_n"] and s.work_last[who, person["span"]] <= t:
        person["span"] += 1
    at = person["span"]
    if person["busy"] == 1 or at == person["work_n"] or s.work_first[who, at] > t:
        return 0
    return int(s.work_last[who, at]) - t


@compiled_within
def dry_for(s: Replay, w: int, t: int) -> int:
    """Slots until the weather of a kind ends that now is; 0 where it is not."""
    weather = s.weathers[w]
    n = weather["n"]
    while weather["span"] < n and (s.dry_last[w, weather["span"]] <= t or not s.dry[w, weather["span"]]):
        weather["span"] += 1
    at = weather["span"]
    if at == n or s.dry_first[w, at] > t:
        return 0
    while at + 1 < n and s.dry[w, at + 1] and s.dry_first[w, at + 1] == s.dry_last[w, at]:
        at += 1
    return int(s.dry_last[w, at]) - t


@compiled_within
def start_as_planned(s: Replay, u: int, t: int) -> bool:
    """Start a unit where the plan has it."""
    unit = s.units[u]
    if unit["start"] != t:
        return False
    lasts = s.weathers[unit["weather"]]["lasts"] if unit["weather"] >= 0 else NEVER
    if unit["person"] >= 0:
        lasts = min(lasts, s.people[unit["person"]]["free_for"])
    start(s, u, unit["person"], t, max(1, lasts))
    return True


@compiled_within
def try_to_start(s: Replay, u: int, t: int) -> bool:
    """Start a unit if hands, weather and places allow, and nothing that was planned before it is pushed."""
    unit = s.units[u]
    step = s.steps[unit["step"]]
    if unit["worked"] > 0 or step["sanded"] == 1 or step["windows"] == 0:
        return _try_for(s, u, t, max(1, unit["length"] - unit["worked"]))
    if unit["sitting"] == SANDING and step["own"] >= 0 and _missed(s, step, t) == 0:
        if _try_for(s, step["own"], t, s.units[step["own"]]["length"]):
            step["sanded"] = 1
            return True
        return t >= unit["start"] and _try_for(s, u, t, unit["length"])
    if u != step["own"]:
        return _try_for(s, u, t, unit["length"])
    extra = _missed(s, step, t)
    unit["left"] += extra
    if _try_for(s, u, t, unit["length"] + extra):
        step["sanded"] = 1
        return True
    unit["left"] -= extra
    return False


@compiled_within
def _missed(s: Replay, step: Records, t: int) -> int:
    """The longest sanding among the windows that a coat misses which starts now; 0 where it misses none."""
    longest = 0
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = s.links[at]
        if link["sanding"] > longest:
            before = s.steps[link["before"]]
            since = link["since"]
            known = before["known_coat"] if since == 0 else before["stage"] >= (DRYING_ON if since == 1 else DONE)
            if before["placed"] == 1 and known and t > moment(before, since) + link["most"]:
                longest = link["sanding"]
    return longest


@compiled_within
def _try_for(s: Replay, u: int, t: int, length: int) -> bool:
    """Start a unit that is expected to last so long."""
    unit = s.units[u]
    v = unit["step"]
    step = s.steps[v]
    lasts = s.weathers[unit["weather"]]["lasts"] if unit["weather"] >= 0 else NEVER
    if unit["worked"] == 0 and lasts < length:
        return False
    who = -1
    if unit["skill"] >= 0:
        who = _who(s, u, t, length)
        if who < 0:
            return False
        lasts = min(lasts, s.people[who]["free_for"])
    if step["stage"] == WAITING:
        if not room(s, v, HANDS) or not room(s, v, READY):
            return False
        for at in range(step["use_at"], step["use_at"] + step["use_n"]):
            if crowded(s, v, at, t):
                return False
    start(s, u, who, t, lasts)
    return True


@compiled_within
def _who(s: Replay, u: int, t: int, length: int) -> int:
    """Who sits: free for as long as it is expected to take, and not wanted for something before it; -1 where nobody is.

    Whom the plan names or who sat last comes first.
    """
    unit = s.units[u]
    skill, by = unit["skill"], unit["by"]
    needed = 1 if unit["worked"] > 0 else length
    for at in range(s.skill_at[skill] - 1, s.skill_at[skill + 1]):
        who = s.skill_people[at] if at >= s.skill_at[skill] else by
        if who < 0 or s.people[who]["free_for"] < max(1, min(needed, s.people[who]["longest"])):
            continue
        if not wanted(s, who, u, t, t + length // SOON):
            return int(who)
    return -1


@compiled_within
def start(s: Replay, u: int, who: int, t: int, lasts: int) -> None:
    """Begin a sitting, or go on with it, for as long as the day and the weather last."""
    unit = s.units[u]
    v = unit["step"]
    step = s.steps[v]
    if step["stage"] == WAITING:
        step["stage"] = BEGUN
        expect_from(step, t)
        take_places(s, v, HANDS)
        take_places(s, v, READY)
    if (unit["sitting"] != SANDING or step["own"] < 0) and step["known_coat"] == 0:
        coat_on(s, v, t, t)
    if unit["length"] == 0:
        hands_done(s, v, t, t)
        return
    if unit["worked"] == 0 and unit["left"] != unit["length"]:
        off_plan_at(s, t + min(unit["left"], unit["length"]))
    stretch = min(unit["left"], lasts)
    unit["left"] -= stretch
    unit["worked"] += stretch
    unit["by"] = who
    if who >= 0:
        s.people[who]["busy"], s.people[who]["free_for"] = 1, 0
    post(s, t + stretch, HANDS_FREE, u)

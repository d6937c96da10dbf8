"""What the links say of one step, given those that have their places."""

from stages.planner.arrays import NEVER, Arrays, Ints, Record
from stages.planner.compiled import part
from stages.planner.state import LEFT, OPEN, PLACED, State, moment


@part
def behind(a: Arrays, s: State, v: int) -> int:
    """A step that this one is bound to and that has no place; -1 where there is none."""
    step = a.steps[v]
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = a.links[at]
        if link["least"] != NEVER:
            state = s.places[link["before"]]["state"]
            if state == LEFT or (link["first"] and state == OPEN):
                return int(link["before"])
    return -1


@part
def soonest(a: Arrays, s: State, v: int, dries: Ints) -> tuple[int, int]:
    """Lower bounds of a step's start and of the end of its last sitting."""
    step = a.steps[v]
    if step["fact"]:
        return 0, 0
    start = max(step["earliest"], s.places[v]["soonest"])
    end = s.places[v]["soonest_end"]
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = a.links[at]
        if link["least"] != NEVER and s.places[link["before"]]["state"] == PLACED:
            start = max(start, moment(s.places[link["before"]], link["since"]) + link["least"])
    for out in range(step["out_at"], step["out_at"] + step["out_n"]):
        link = a.links[a.outs[out]]
        if link["most"] != NEVER and s.places[link["after"]]["state"] == PLACED:
            after = s.places[link["after"]]["coat"] - link["most"]
            if link["since"] == 0:
                start = max(start, after)
            else:
                end = max(end, after if link["since"] == 1 else after - dries[v])
    return start, end


@part
def sanding(a: Arrays, s: State, v: int) -> int:
    """The longest sanding that a missed window asks of a step where it now lies; 0 where it misses none."""
    longest = 0
    step = a.steps[v]
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = a.links[at]
        if link["sanding"] > longest and s.places[link["before"]]["state"] == PLACED and _over(s, v, link):
            longest = link["sanding"]
    return longest


@part
def _over(s: State, v: int, link: Record) -> bool:
    """Whether a step lies beyond the most of a link into it."""
    return bool(s.places[v]["coat"] > moment(s.places[link["before"]], link["since"]) + link["most"])


@part
def missed(a: Arrays, s: State, v: int) -> int:
    """A link whose hard lag the step misses where it now lies; -1 where it misses none."""
    step, place = a.steps[v], s.places[v]
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = a.links[at]
        hard = link["most"] != NEVER and link["sanding"] == 0
        if hard and s.places[link["before"]]["state"] == PLACED and _over(s, v, link):
            return at
    for out in range(step["out_at"], step["out_at"] + step["out_n"]):
        link = a.links[a.outs[out]]
        after = s.places[link["after"]]
        least = moment(place, link["since"]) + link["least"]
        if link["least"] != NEVER and after["state"] == PLACED and after["start"] < least:
            return int(a.outs[out])
    return -1


@part
def put_off(a: Arrays, s: State, v: int, missed: int) -> bool:
    """Have what a step's hard lag binds it to come later by what the lag misses; False where it is under way."""
    link = a.links[missed]
    place = s.places[v]
    if link["before"] == v:
        after = link["after"]
        s.places[after]["soonest"] = moment(place, link["since"]) + link["least"]
        return not a.steps[after]["fact"]
    before = link["before"]
    needed = place["coat"] - link["most"]
    if link["since"] == 0:
        s.places[before]["soonest"] = needed
    elif link["since"] == 1:
        s.places[before]["soonest_end"] = needed
    else:
        s.places[before]["soonest_end"] = needed - (s.places[before]["ready"] - s.places[before]["end"])
    return not a.steps[before]["fact"]

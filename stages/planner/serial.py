"""Serial schedule generation: steps are taken in an order, and each is placed as soon as it can be.

After Kolisch and Hartmann 1999 (Heuristic algorithms for the resource-constrained project scheduling problem, section
2), with people who have hours, dry days, places held while a coat dries, and recoat windows; where a hard maximum lag
is missed, what came too early is placed later and all is done again, after Franck, Neumann and Schwindt 2001 (Truncated
branch-and-bound, schedule-construction, and schedule-improvement procedures for project scheduling).
"""

from stages.planner.arrays import NEVER, Arrays, Ints
from stages.planner.booking import commit
from stages.planner.compiled import part
from stages.planner.lags import behind, missed, put_off, sanding, soonest
from stages.planner.seating import settle
from stages.planner.state import BEHIND, OPEN, TOO_LATE, State, leave

REPAIRS = 300


def run(a: Arrays, s: State, order: Ints, lengths: Ints, dries: Ints, bound: int) -> int:
    """Schedule all steps in an order that keeps the links.

    Parameters
    ----------
    a : Arrays
        The problem.
    s : State
        Written over; holds the schedule afterwards.
    order : ndarray
        All steps, each after those that it is bound to.
    lengths, dries : ndarray
        Of every sitting, of every step; mostly the problem's own.
    bound : int
        Stop as soon as the cost must pass it; only with the problem's own lengths.

    Returns
    -------
    int
        The cost, `LEFT_OUT` for each step left out; something above ``bound`` where it stopped.
    """
    s.places["soonest"] = s.places["soonest_end"] = 0
    for repair in range(REPAIRS + 1):
        clear(a, s)
        if go_on(a, s, order, 0, len(order), lengths, dries, bound, repair < REPAIRS):
            break
    return int(s.totals[0])


@part
def clear(a: Arrays, s: State) -> None:
    """Nothing is placed, everybody is free."""
    for v in range(len(s.places)):
        s.places[v]["state"] = OPEN
    for p in range(len(a.free_n)):
        count = a.free_n[p]
        s.free_n[p] = count
        for at in range(count):
            s.free_first[p, at] = a.free_first[p, at]
            s.free_last[p, at] = a.free_last[p, at]
        for day in range(a.free_days.shape[1]):
            s.free_days[p, day] = a.free_days[p, day]
    for r in range(len(s.times_n)):
        s.times_n[r] = 0
    for job in range(len(s.done)):
        s.done[job] = -NEVER
    for at in range(len(s.totals)):
        s.totals[at] = 0


@part
def go_on(
    a: Arrays, s: State, order: Ints, first: int, last: int, lengths: Ints, dries: Ints, bound: int, repair: bool
) -> bool:
    """Place ``order[first:last]``; False where a hard lag was missed, and what came too early is put later."""
    for at in range(first, last):
        if not place(a, s, order[at], lengths, dries, repair):
            return False
        if s.totals[0] > bound:
            return True
    return True


@part
def place(a: Arrays, s: State, v: int, lengths: Ints, dries: Ints, repair: bool) -> bool:
    """Place one step as soon as it can be, or leave it out; False where something else has to come later for it."""
    before = behind(a, s, v)
    if before >= 0:
        leave(s, v, BEHIND, before)
        return True
    start, end = soonest(a, s, v, dries)
    s.places[v]["sanding"] = 0
    while True:
        if not settle(a, s, v, start, end, lengths, dries):
            return True
        longest = sanding(a, s, v)
        if longest <= s.places[v]["sanding"]:
            break
        s.places[v]["sanding"] = longest
    late = missed(a, s, v)
    if late >= 0:
        if repair and put_off(a, s, v, late):
            return False
        link = a.links[late]
        leave(s, v, TOO_LATE, link["after"] if link["before"] == v else link["before"])
        return True
    commit(a, s, v, lengths)
    return True

"""Room in a place, and gaps in a person's hours: the two things that a schedule takes from.

A profile is two rows: from ``times[i]`` on, until the next, ``levels[i]`` places of a resource are taken. Gaps are two:
a person is free in each [``first[i]``, ``last[i]``); ``days[d]`` of them, or fewer, are over by slot 64 d.
"""

from stages.planner.arrays import DAY, NEVER, Ints
from stages.planner.compiled import part


@part
def find(row: Ints, count: int, value: int) -> int:
    """How many of the sorted row's first ``count`` are at or below a value."""
    low, high = 0, count
    while low < high:
        middle = (low + high) >> 1
        if row[middle] <= value:
            low = middle + 1
        else:
            high = middle
    return low


@part
def full_until(times: Ints, levels: Ints, count: int, start: int, end: int, most: int) -> int:
    """The end of the last stretch of [start, end) in which more than ``most`` are taken; -NEVER where there is none."""
    if end <= start:
        return -NEVER
    at = find(times, count, end - 1) - 1
    while at >= 0 and levels[at] <= most:
        if times[at] <= start:
            return -NEVER
        at -= 1
    if at < 0:
        return -NEVER
    while at < count and levels[at] > most:
        at += 1
    return int(times[at]) if at < count else NEVER


@part
def fill(times: Ints, levels: Ints, count: int, start: int, end: int, amount: int) -> int:
    """Take ``amount`` in [start, end); how many moments the profile then has."""
    if end <= start:
        return count
    first, count = _cut(times, levels, count, start)
    last, count = _cut(times, levels, count, end)
    for at in range(first, last):
        levels[at] += amount
    return count


@part
def _cut(times: Ints, levels: Ints, count: int, moment: int) -> tuple[int, int]:
    """The place of a moment in the profile, made where it has none, and how many the profile then has."""
    at = find(times, count, moment)
    if at > 0 and times[at - 1] == moment:
        return at - 1, count
    for back in range(count, at, -1):
        times[back] = times[back - 1]
        levels[back] = levels[back - 1]
    times[at] = moment
    levels[at] = levels[at - 1] if at > 0 else 0
    return at, count + 1


@part
def gap(first: Ints, last: Ints, count: int, at: int, start: int, length: int) -> int:
    """The first slot at or after ``start`` from which ``length`` slots lie in one gap; NEVER where there is none.

    ``at``: a gap at or before which to begin to look.
    """
    while at < count and last[at] < start + length:
        at += 1
    if at < count and first[at] <= start:
        return start
    while at < count:
        if last[at] - first[at] >= length:
            return int(first[at])
        at += 1
    return NEVER


@part
def take(first: Ints, last: Ints, days: Ints, count: int, start: int, end: int) -> int:
    """Take [start, end) out of the gap that holds it; how many gaps there are then."""
    at = days[start // DAY]
    while last[at] < end:
        at += 1
    before, after = first[at] < start, last[at] > end
    if before and after:
        for back in range(count, at, -1):
            first[back] = first[back - 1]
            last[back] = last[back - 1]
        last[at] = start
        first[at + 1] = end
        _renumber(days, at, start, 1)
        return count + 1
    if before:
        last[at] = start
    elif after:
        first[at] = end
    else:
        for on in range(at, count - 1):
            first[on] = first[on + 1]
            last[on] = last[on + 1]
        _renumber(days, at, start, -1)
        return count - 1
    return count


@part
def _renumber(days: Ints, at: int, start: int, by: int) -> None:
    """Gaps behind one moved by a place."""
    for day in range(start // DAY, len(days)):
        if days[day] > at:
            days[day] += by

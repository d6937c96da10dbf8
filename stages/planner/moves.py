"""Moves of a local search: from one order of the steps to another. Each tells the first place that changes."""

from stages.planner.arrays import Arrays, Ints
from stages.planner.compiled import part


@part
def shift(order: Ints, marked: Ints, by: int, base: int, to: Ints) -> int:
    """Shift the marked steps by some places, among themselves in the same order, none to before ``base``."""
    n = len(order)
    for at in range(base):
        to[at] = order[at]
    rest, mover, first = base, base, n
    for at in range(base, n):
        while mover < n and not marked[order[mover]]:
            mover += 1
        while rest < n and marked[order[rest]]:
            rest += 1
        if mover < n and (rest >= n or mover + by <= at):
            to[at] = order[mover]
            mover += 1
        else:
            to[at] = order[rest]
            rest += 1
        if first == n and to[at] != order[at]:
            first = at
    return first


@part
def insert(order: Ints, at: int, to_at: int, to: Ints) -> int:
    """Move the step at one place to another."""
    for i in range(len(order)):
        to[i] = order[i]
    for i in range(at, to_at, -1):
        to[i] = order[i - 1]
    for i in range(at, to_at):
        to[i] = order[i + 1]
    to[to_at] = order[at]
    return min(at, to_at)


@part
def mark(a: Arrays, place: Ints, job: int, first: int, last: int, marked: Ints) -> int:
    """Mark the steps of a boat that lie in [first, last) of the order and are not under way; how many they are."""
    count = 0
    for v in range(len(a.steps)):
        step = a.steps[v]
        marked[v] = step["job"] == job and not step["fact"] and first <= place[v] < last
        count += marked[v]
    return count


@part
def span_of(a: Arrays, place: Ints, v: int, base: int) -> tuple[int, int]:
    """The first and the last place that a step's links leave it, the other steps staying where they are."""
    step = a.steps[v]
    low, high = base, len(a.steps) - 1
    for at in range(step["in_at"], step["in_at"] + step["in_n"]):
        link = a.links[at]
        if link["first"]:
            low = max(low, place[link["before"]] + 1)
    for at in range(step["out_at"], step["out_at"] + step["out_n"]):
        link = a.links[a.outs[at]]
        if link["first"]:
            high = min(high, place[link["after"]] - 1)
    return low, high

"""The order in which links let steps be placed: which links bind it, and orders that keep it."""

import numpy as np

from stages.planner.arrays import NEVER, Flags, Ints, Record, Records
from stages.planner.compiled import part


def untie(steps: Records, links: Records, outs: Ints) -> Ints:
    """An order of the steps that keeps the links; a ring is untied where a link in it lets the step after come first.

    A link with a least below zero, or none, says no more than "not much later": it does not have to be placed along.
    Steps in a ring that nothing unties come last. Counts each step's links that bind in ``waits_for``.
    """
    order, waits = np.empty((2, len(steps)), np.int64)
    _untie(steps, links, outs, waits, np.zeros(len(steps), np.bool_), order)
    return order


@part
def _untie(steps: Records, links: Records, outs: Ints, waits: Ints, seen: Flags, order: Ints) -> None:
    n, count = len(steps), 0
    _count_waits(steps, links)
    for v in range(n):
        waits[v] = steps[v]["waits_for"]
    for v in range(n):
        if waits[v] == 0 and not seen[v]:
            count = _follow(steps, links, outs, waits, seen, order, count, v)
    for loosest in range(2):
        for at in range(len(links)):
            link = links[at]
            v = link["after"]
            if count < n and link["first"] and not seen[v] and not seen[link["before"]] and _loose(link, loosest):
                links[at]["first"] = 0
                waits[v] -= 1
                if waits[v] == 0:
                    count = _follow(steps, links, outs, waits, seen, order, count, v)
    _count_waits(steps, links)
    for v in range(n):
        if not seen[v]:
            order[count] = v
            count += 1


@part
def _loose(link: Record, loosest: int) -> bool:
    if loosest == 0:
        return bool(link["least"] < 0 or link["least"] == NEVER)
    return bool(link["least"] == 0)


@part
def _count_waits(steps: Records, links: Records) -> None:
    for v in range(len(steps)):
        steps[v]["waits_for"] = 0
    for at in range(len(links)):
        if links[at]["first"]:
            steps[links[at]["after"]]["waits_for"] += 1


@part
def _follow(
    steps: Records, links: Records, outs: Ints, waits: Ints, seen: Flags, order: Ints, count: int, v: int
) -> int:
    """Put a step that waits for none in the order, and all that then wait for none any more."""
    done = count
    seen[v] = True
    order[count] = v
    count += 1
    while done < count:
        step = steps[order[done]]
        done += 1
        for at in range(step["out_at"], step["out_at"] + step["out_n"]):
            link = links[outs[at]]
            if link["first"]:
                waits[link["after"]] -= 1
                if waits[link["after"]] == 0 and not seen[link["after"]]:
                    seen[link["after"]] = True
                    order[count] = link["after"]
                    count += 1
    return count


@part
def measure_tails(steps: Records, links: Records, outs: Ints, lengths: Ints, dries: Ints, order: Ints) -> None:
    """Write each step's ``tail``: the fewest slots from its being ready until all that follow it on its boat are."""
    for back in range(len(order) - 1, -1, -1):
        v = order[back]
        longest = 0
        step = steps[v]
        for at in range(step["out_at"], step["out_at"] + step["out_n"]):
            link = links[outs[at]]
            after = link["after"]
            if link["first"] and link["since"] > 0 and link["least"] != NEVER and steps[after]["job"] == step["job"]:
                rest = link["least"] + work_of(steps[after], lengths) + dries[after] + steps[after]["tail"]
                longest = max(longest, rest if link["since"] == 2 else rest - dries[v])
        steps[v]["tail"] = longest


@part
def work_of(step: Record, lengths: Ints) -> int:
    """All hands-on slots of a step."""
    total = 0
    for at in range(step["sit_at"], step["sit_at"] + step["sit_n"]):
        total += lengths[at]
    return total


def by_rank(steps: Records, links: Records, outs: Ints, rank: Ints, chained: bool) -> Ints:
    """The order that takes, of all steps whose turn may come, the one of the lowest rank; those under way first.

    Parameters
    ----------
    rank : ndarray
        Of each step.
    chained : bool
        Whether a coat with a recoat window comes right behind the one before.
    """
    order, heap = np.empty((2, len(steps)), np.int64)
    at_once = int(rank.min(initial=0)) - 1
    keys = np.where(steps["fact"] == 1, at_once - 1, rank)
    _by_rank(steps, links, outs, keys, at_once if chained else NEVER, steps["waits_for"].copy(), heap, order)
    return order


@part
def _by_rank(
    steps: Records, links: Records, outs: Ints, keys: Ints, at_once: int, waits: Ints, heap: Ints, order: Ints
) -> None:
    n, size = len(steps), 0
    for v in range(n):
        if waits[v] == 0:
            size = _push(heap, size, keys, v)
    count = 0
    while size > 0:
        v = heap[0]
        size = _pop(heap, size, keys)
        order[count] = v
        count += 1
        step = steps[v]
        for at in range(step["out_at"], step["out_at"] + step["out_n"]):
            link = links[outs[at]]
            if link["first"]:
                after = link["after"]
                waits[after] -= 1
                if waits[after] == 0:
                    if at_once != NEVER and link["most"] != NEVER:
                        keys[after] = at_once
                    size = _push(heap, size, keys, after)
    for v in range(n):  # in a ring that nothing unties: left out by whoever schedules
        if waits[v] > 0:
            order[count] = v
            count += 1


@part
def _before(keys: Ints, a: int, b: int) -> bool:
    return bool(keys[a] < keys[b] or (keys[a] == keys[b] and a < b))


@part
def _push(heap: Ints, size: int, keys: Ints, v: int) -> int:
    at = size
    while at > 0 and _before(keys, v, heap[(at - 1) >> 1]):
        heap[at] = heap[(at - 1) >> 1]
        at = (at - 1) >> 1
    heap[at] = v
    return size + 1


@part
def _pop(heap: Ints, size: int, keys: Ints) -> int:
    size -= 1
    v = heap[size]
    at = 0
    while 2 * at + 1 < size:
        child = 2 * at + 1
        if child + 1 < size and _before(keys, heap[child + 1], heap[child]):
            child += 1
        if not _before(keys, heap[child], v):
            break
        heap[at] = heap[child]
        at = child
    heap[at] = v
    return size

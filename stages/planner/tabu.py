"""Tabu search on the disjunctive graph of a job shop: operations are moved within the blocks of a critical path.

The graph is that of Roy and Sussmann (1964); the moves, and when they surely make no ring, are those of Balas and
Vazacopoulos (1998), Guided local search with shifting bottleneck for job shop scheduling, with those of Zhang et al.
(2007), A tabu search algorithm with a new neighborhood structure for the job shop scheduling problem, into the blocks.

A state is one array with a row a use: machine predecessor and successor, head, tail, topological order.
"""

import numpy as np

from stages.planner.arrays import Ints
from stages.planner.compiled import compiled

MP, MS, HEAD, TAIL, ORDER, LEFT = 0, 1, 2, 3, 4, 5
ROWS = 6


@compiled
def measure(state: Ints, lengths: Ints, jp: Ints, js: Ints) -> int:
    """Write heads (start) and tails (own length and what follows) along a topological order; give the makespan."""
    n = len(lengths)
    count, done = 0, 0
    for v in range(n):
        state[LEFT, v] = (jp[v] >= 0) + (state[MP, v] >= 0)
        if state[LEFT, v] == 0:
            state[ORDER, count] = v
            count += 1
    last = 0
    while done < count:
        v = state[ORDER, done]
        done += 1
        head = 0
        if jp[v] >= 0:
            head = state[HEAD, jp[v]] + lengths[jp[v]]
        if state[MP, v] >= 0:
            head = max(head, state[HEAD, state[MP, v]] + lengths[state[MP, v]])
        state[HEAD, v] = head
        last = max(last, head + lengths[v])
        for w in (js[v], state[MS, v]):
            if w >= 0:
                state[LEFT, w] -= 1
                if state[LEFT, w] == 0:
                    state[ORDER, count] = w
                    count += 1
    if count < n:
        return -1
    for at in range(n - 1, -1, -1):
        v = state[ORDER, at]
        tail = 0
        if js[v] >= 0:
            tail = state[TAIL, js[v]]
        if state[MS, v] >= 0:
            tail = max(tail, state[TAIL, state[MS, v]])
        state[TAIL, v] = tail + lengths[v]
    return last


@compiled
def move(state: Ints, u: int, v: int, after: bool) -> None:
    """Take an operation out of its machine's row, and put it behind or before another."""
    before, behind = state[MP, u], state[MS, u]
    if before >= 0:
        state[MS, before] = behind
    if behind >= 0:
        state[MP, behind] = before
    if after:
        behind = state[MS, v]
        before = v
    else:
        before = state[MP, v]
        behind = v
    state[MP, u], state[MS, u] = before, behind
    if before >= 0:
        state[MS, before] = u
    if behind >= 0:
        state[MP, behind] = u


@compiled
def guess(state: Ints, lengths: Ints, jp: Ints, js: Ints, row: Ints, heads: Ints, size: int) -> int:
    """The longest path through operations that would follow each other like this, as far as their own row tells."""
    before = state[MP, row[size]] if row[size] >= 0 else -1
    behind = row[size + 1]
    ready = 0
    if before >= 0:
        ready = state[HEAD, before] + lengths[before]
    for at in range(size):
        v = row[at]
        head = ready
        if jp[v] >= 0:
            head = max(head, state[HEAD, jp[v]] + lengths[jp[v]])
        heads[at] = head
        ready = head + lengths[v]
    tail = 0
    if behind >= 0:
        tail = state[TAIL, behind]
    longest = 0
    for at in range(size - 1, -1, -1):
        v = row[at]
        if js[v] >= 0:
            tail = max(tail, state[TAIL, js[v]])
        tail += lengths[v]
        longest = max(longest, heads[at] + tail)
    return longest


@compiled
def critical(state: Ints, lengths: Ints, jp: Ints, last: int, path: Ints) -> int:
    """A path from the start to the last finish on which nothing can be late, drawn by chance; its size."""
    n = len(lengths)
    size = 0
    at = -1
    seen = 0
    for v in range(n):
        if state[HEAD, v] + lengths[v] == last:
            seen += 1
            if np.random.randint(seen) == 0:
                at = v
    while at >= 0:
        path[size] = at
        size += 1
        job, machine = jp[at], state[MP, at]
        by_job = job >= 0 and state[HEAD, job] + lengths[job] == state[HEAD, at]
        by_machine = machine >= 0 and state[HEAD, machine] + lengths[machine] == state[HEAD, at]
        if by_job and by_machine:
            at = job if np.random.random() < 0.5 else machine
        elif by_job:
            at = job
        elif by_machine:
            at = machine
        else:
            at = -1
    for k in range(size // 2):
        path[k], path[size - 1 - k] = path[size - 1 - k], path[k]
    return size


@compiled
def search(
    state: Ints,
    best: Ints,
    lengths: Ints,
    jp: Ints,
    js: Ints,
    machine: Ints,
    forbidden: Ints,
    since: int,
    rounds: int,
    least: int,
    tenure: int,
    seed: int,
) -> tuple[int, int]:
    """Walk ``rounds`` steps from ``state``; write the best state met that beats ``least`` into ``best``.

    Parameters
    ----------
    forbidden : ndarray
        Of each pair of operations, the round until which the first is not put before the second again.
    since : int
        Rounds walked before.
    least : int
        The least makespan so far.
    tenure : int
        How many rounds a pair stays forbidden, up to half as many more.

    Returns
    -------
    tuple of int
        The least makespan, and the round in which it was met, or the rounds walked where none was better.
    """
    np.random.seed(seed)
    n = len(lengths)
    path, row, heads = np.empty(n, np.int64), np.empty(n + 2, np.int64), np.empty(n, np.int64)
    last = measure(state, lengths, jp, js)
    met = -1
    for step in range(rounds):
        now = since + step
        size = critical(state, lengths, jp, last, path)
        found, found_u, found_v, found_after = -1, -1, -1, False
        any_u, any_v, any_after, ways = -1, -1, False, 0
        ties = 0
        first = 0
        while first < size:
            end = first
            while end + 1 < size and machine[path[end + 1]] == machine[path[first]]:
                end += 1
            for way in range(4):
                # 0: each behind the last; 1: each before the first; 2: the first behind each; 3: the last before each
                for k in range(first, end + 1):
                    u, v, after = path[k], path[end], True
                    low, high = k, end
                    if way == 1:
                        u, v, after = path[k], path[first], False
                        low, high = first, k
                    elif way == 2:
                        u, v = path[first], path[k]
                        low, high = first, k
                    elif way == 3:
                        u, v, after = path[end], path[k], False
                        low, high = k, end
                    if low == high or (way >= 2 and k in (first, end)):
                        continue
                    if after:
                        if js[u] >= 0 and state[TAIL, v] < state[TAIL, js[u]]:
                            continue
                    elif jp[u] >= 0 and state[HEAD, v] + lengths[v] < state[HEAD, jp[u]] + lengths[jp[u]]:
                        continue
                    count = high - low + 1
                    tabu = False
                    if after:
                        for j in range(count - 1):
                            row[j] = path[low + 1 + j]
                            tabu = tabu or forbidden[row[j], u] > now
                        row[count - 1] = u
                    else:
                        row[0] = u
                        for j in range(1, count):
                            row[j] = path[low + j - 1]
                            tabu = tabu or forbidden[u, row[j]] > now
                    row[count], row[count + 1] = path[low], state[MS, path[high]]
                    longest = guess(state, lengths, jp, js, row, heads, count)
                    ways += 1
                    if np.random.randint(ways) == 0:
                        any_u, any_v, any_after = u, v, after
                    if tabu and longest >= least:
                        continue
                    if found < 0 or longest < found:
                        ties = 0
                    if found < 0 or longest <= found:
                        ties += 1
                        if np.random.randint(ties) == 0:
                            found, found_u, found_v, found_after = longest, u, v, after
            first = end + 1
        if ways == 0:
            return least, (met if met >= 0 else step)
        if found < 0:
            found_u, found_v, found_after = any_u, any_v, any_after
        until = now + tenure + np.random.randint(tenure // 2 + 1)
        at = found_u
        while at != found_v:
            at = state[MS, at] if found_after else state[MP, at]
            if found_after:
                forbidden[found_u, at] = until
            else:
                forbidden[at, found_u] = until
        move(state, found_u, found_v, found_after)
        last = measure(state, lengths, jp, js)
        if last < least:
            least, met = last, step
            best[:] = state
    return least, (met if met >= 0 else rounds)

"""Improving in a process of its own: better plans stream back, and whatever happens to it, the best so far is kept.

The solver's native code has been seen to crash; here that ends this process and nothing else.
"""

import os
import pickle
import selectors
import struct
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from time import monotonic
from typing import IO

from stages.planner.effort import Effort, How, Improved
from stages.planner.listplan import list_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule

ROOT = Path(__file__).resolve().parent.parent.parent
KEPT_ENV = ("PATH", "HOME", "TMPDIR", "LANG")
ENV = {"MALLOC_ARENA_MAX": "1", "PYTHONHASHSEED": "0", "OMP_NUM_THREADS": "1"}
START_S = 180.0  # until the first plan; compiling alone takes half a minute the first time on a slow machine
GRACE_S = 10.0  # to end a round
LOOK_S = 0.1
HEAD = struct.Struct(">Q")


def improve(
    problem: Problem,
    effort: Effort,
    *,
    start: Schedule | None = None,
    on_better: Callable[[Schedule], None] = lambda schedule: None,
    go_on: Callable[[], bool] = lambda: True,
) -> Improved:
    """Improve a plan in a process apart.

    Parameters
    ----------
    problem : Problem
        What is planned.
    effort : Effort
        How much is tried: its ``seconds`` count from the first plan on; there is no end to a search with neither
        seconds nor rounds but ``go_on``.
    start : Schedule or None
        A plan to begin with; the list plan where there is none.
    on_better : callable
        Is given each better plan as it is found.
    go_on : callable
        Asked ten times a second; the search is stopped when it says no.

    Returns
    -------
    Improved
        The best plan that reached us.
    """
    child = begin(problem, effort, start)
    best, how = start, How.CRASHED
    try:
        for said in _said(child, effort.seconds, go_on):
            if isinstance(said, Improved):
                return said
            if isinstance(said, Schedule):
                best = said
                on_better(said)
            else:
                how = said
    finally:
        child.kill()
        child.communicate()
    return Improved(schedule=best or list_plan(problem), how=how)


def begin(problem: Problem, effort: Effort, start: Schedule | None) -> subprocess.Popen[bytes]:
    """Start the process and tell it what is asked."""
    env = ENV | {name: os.environ[name] for name in KEPT_ENV if name in os.environ}
    child = subprocess.Popen(
        [sys.executable, "-m", "stages.planner"], cwd=ROOT, env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    )
    with suppress(BrokenPipeError):
        send(child.stdin, (problem, effort, start))  # its end stays open: when it closes, the child ends too
    return child


def _said(
    child: subprocess.Popen[bytes], seconds: float | None, go_on: Callable[[], bool]
) -> Iterator[Schedule | Improved | How]:
    """What the child says, and how it ended where it does not say so itself."""
    within = float("inf") if seconds is None else seconds + GRACE_S
    begun, until = 0.0, monotonic() + START_S
    pipe, buffer = child.stdout, b""
    assert pipe is not None
    with selectors.DefaultSelector() as ready:
        ready.register(pipe, selectors.EVENT_READ)
        while True:
            if not go_on():
                yield How.STOPPED
                return
            if monotonic() > until:
                yield How.OUT_OF_TIME
                return
            if not ready.select(LOOK_S):
                continue
            more = os.read(pipe.fileno(), 1 << 20)
            if not more:
                return
            buffer += more
            while len(buffer) >= HEAD.size and len(buffer) >= (size := HEAD.size + HEAD.unpack_from(buffer)[0]):
                yield pickle.loads(buffer[HEAD.size : size])
                buffer = buffer[size:]
                if not begun:
                    begun = monotonic()
                    until = begun + within


def send(pipe: IO[bytes] | None, what: object) -> None:
    """Write something for the other side."""
    assert pipe is not None
    content = pickle.dumps(what, protocol=pickle.HIGHEST_PROTOCOL)
    pipe.write(HEAD.pack(len(content)) + content)
    pipe.flush()

"""The process in which plans are improved: reads what `stages.planner.apart` asks, and sends back what it finds."""

import os
import pickle
import re
import sys
from dataclasses import replace
from pathlib import Path
from threading import Thread
from time import monotonic
from types import ModuleType
from typing import Any

from stages.planner.apart import HEAD, send


class Absent(ModuleType):
    """A library that is named in type hints and nowhere used."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return type(name, (), {})


def main() -> None:
    """Improve until it is enough."""
    # OR-Tools imports pandas for helpers over tables, which nobody asks for here: 40 MiB of the process's memory.
    sys.modules["pandas"] = Absent("pandas")
    from stages.planner.improver import Search

    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # whatever native code prints is not taken for a plan
    size = HEAD.unpack(sys.stdin.buffer.read(HEAD.size))[0]
    problem, effort, start = pickle.loads(sys.stdin.buffer.read(size))
    Thread(target=_end_with_the_parent, daemon=True).start()
    search = Search(problem, effort, tell=lambda schedule: send(out, schedule), start=start)
    ended = search.run(monotonic)
    send(out, replace(ended, peak_mib=_peak_mib()))


def _peak_mib() -> float | None:
    """The most memory that this process held; None off Linux. What `getrusage` tells begins with the parent's share."""
    try:
        status = Path("/proc/self/status").read_text()
    except OSError:
        return None
    peak = re.search(r"^VmHWM:\s*(\d+) kB", status, re.MULTILINE)
    return int(peak[1]) / 1024 if peak else None


def _end_with_the_parent() -> None:
    sys.stdin.buffer.read(1)
    os._exit(1)


if __name__ == "__main__":
    main()

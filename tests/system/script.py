"""What the scripts share in which several act at once: one process makes things ready and looks afterwards.

Each who acts is a process of its own with a connection of its own, forked once the program is loaded. Before each act
they wait for one another and agree on a moment, so that what they do always falls together.
"""

import io
import json
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from ctypes import c_double
from dataclasses import dataclass, field
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.sharedctypes import Synchronized
from multiprocessing.synchronize import Barrier
from typing import Any, TypeVar

import django

T = TypeVar("T")
FORK = get_context("fork")
SOON_S = 0.02  # everybody is awake by then
PATIENCE_S = 120


@dataclass(slots=True, kw_only=True)
class Together:
    """The moments at which as many processes act as there are parties."""

    parties: int
    moment: "Synchronized[float]" = field(default_factory=lambda: FORK.Value(c_double))
    barrier: Barrier = field(init=False)

    def __post_init__(self) -> None:
        self.barrier = FORK.Barrier(self.parties, action=self._agree)

    def wait(self) -> None:
        """Wait until everybody waits, and then for the moment that is everybody's."""
        self.barrier.wait(PATIENCE_S)
        time.sleep(max(0.0, self.moment.value - time.monotonic()))

    def in_turn(self, things: Iterable[T]) -> Iterator[T]:
        """Things, each at a moment that is everybody's."""
        for thing in things:
            self.wait()
            yield thing

    def _agree(self) -> None:
        self.moment.value = time.monotonic() + SOON_S


Act = Callable[[str, int, Together], object]


def play(
    *,
    act: Act,
    left: Callable[[], object],
    prepare: Callable[[int], None] = lambda count: None,
    who: tuple[str, ...] = ("ada", "ben"),
) -> None:
    """Make ready as many things as the command line says, let everybody act on them, and look at what is left.

    What each was told, what is left and what the audit says is printed as JSON.
    """
    django.setup()
    from django.core.management import call_command

    count = int(sys.argv[1])
    prepare(count)
    told = acted(act, who, count)
    audit = io.StringIO()
    call_command("audit", stdout=audit)
    print(json.dumps({"told": told, "left": left(), "audit": audit.getvalue()}))


def acted(act: Act, who: tuple[str, ...], count: int) -> list[Any]:
    """Let everybody act, each in a process of its own, and return what each was told."""
    from django.db import connections

    connections.close_all()  # no two processes share one
    together, told = Together(parties=len(who)), []
    for name in who:
        here, there = FORK.Pipe(duplex=False)
        FORK.Process(target=_be, args=(name, act, count, together, there), daemon=True).start()
        there.close()
        told.append(here)
    return [here.recv() for here in told]


def _be(name: str, act: Act, count: int, together: Together, there: "Connection[object, object]") -> None:
    try:
        there.send(act(name, count, together))
    except BaseException:
        together.barrier.abort()  # nobody waits for who is gone
        raise

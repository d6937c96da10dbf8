"""A few child processes that live and die together: a killed one comes back, and none outlives its parent."""

import ctypes
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

PR_SET_PDEATHSIG = 1
PATIENCE_S = 15.0  # a worker ends the job in its hands first
SHORT_LIFE_S = 10.0
FIRST_PAUSE_S, LONGEST_PAUSE_S = 0.2, 30.0


def follow_parent() -> Callable[[], None]:
    """Return what a child runs before it starts, so that the kernel ends it when its parent is killed."""
    if sys.platform != "linux":
        return lambda: None
    libc, parent = ctypes.CDLL(None, use_errno=True), os.getpid()

    def tie() -> None:
        libc.prctl(PR_SET_PDEATHSIG, signal.SIGTERM)
        if os.getppid() != parent:
            os._exit(1)

    return tie


@dataclass(slots=True, kw_only=True)
class Child:
    """One process of the tree, with its own process group, started again whenever it ends."""

    name: str
    command: list[str]
    process: subprocess.Popen[bytes] | None = None
    start_at: float = 0.0
    pause_s: float = FIRST_PAUSE_S
    tie: Callable[[], None] = field(default_factory=follow_parent)

    def start(self) -> None:
        """Start the process as the head of its own group, away from the terminal's Ctrl-C."""
        self.process = subprocess.Popen(self.command, process_group=0, preexec_fn=self.tie, stdin=subprocess.DEVNULL)
        self.start_at = time.monotonic()

    def tend(self) -> None:
        """Start the process again if it ended, later and later where it keeps ending at once."""
        if self.process is None:
            if time.monotonic() >= self.start_at:
                self.start()
        elif self.has_ended():
            self.clear_away()
            lived_s = time.monotonic() - self.start_at
            self.pause_s = min(self.pause_s * 2, LONGEST_PAUSE_S) if lived_s < SHORT_LIFE_S else FIRST_PAUSE_S
            print(f"The {self.name} ended; starting it again.", file=sys.stderr, flush=True)
            self.start_at = time.monotonic() + self.pause_s

    def has_ended(self) -> bool:
        """Tell whether the process ended, leaving it unburied so that its group's number is not given away."""
        assert self.process is not None
        return os.waitid(os.P_PID, self.process.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None

    def clear_away(self) -> None:
        """Kill what is left of the group: a killed web server's own workers would go on answering on its port."""
        assert self.process is not None
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        self.process = None


def run_tree(commands: dict[str, list[str]], *, when_started: Callable[[], None]) -> None:
    """Keep the commands running until Ctrl-C, SIGTERM or SIGHUP, then stop them all.

    Parameters
    ----------
    commands
        By the name that a person reads.
    when_started
        Called in a thread once every process was started; it may wait for them to answer.
    """
    stopping = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, lambda *_: stopping.set())
    children = [Child(name=name, command=command) for name, command in commands.items()]
    for child in children:
        child.start()
    threading.Thread(target=when_started, daemon=True).start()
    while not stopping.wait(0.1):
        for child in children:
            child.tend()
    stop([child for child in children if child.process])


def stop(children: list[Child]) -> None:
    """Ask every process to stop, give them time for what is in their hands, then end what is left."""
    for child in children:
        assert child.process is not None
        child.process.terminate()
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until and not all(child.has_ended() for child in children):
        time.sleep(0.05)
    for child in children:
        child.clear_away()

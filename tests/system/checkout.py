"""A copy of this checkout, as a stranger would have it, and the program started in it."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

from shop.launch.environment import ROOT
from tests.fixtures.processes import end, free_port, spawn, wait_for

PYTHON = str(Path(sys.base_prefix) / "bin" / "python3")
LEFT_BEHIND = shutil.ignore_patterns(".git", ".venv", "var", "__pycache__", ".*_cache", ".hypothesis")


@dataclass(slots=True, kw_only=True)
class Started:
    """`manage.py start`, on its way or serving."""

    process: subprocess.Popen[bytes]
    log: Path
    port: int

    def answers(self) -> bool:
        """Tell whether the shop is served."""
        try:
            with urlopen(f"http://127.0.0.1:{self.port}/healthz", timeout=5) as response:
                return bool(response.status == 200)
        except (URLError, OSError):
            return False

    def wait_until_served(self) -> None:
        """Wait until it says where it is, and see that it is there."""
        wait_for(f"it says where it is; {self.log}", lambda: "Ribband is at" in self.said() or self.has_ended())
        assert not self.has_ended(), self.said()
        assert self.answers()

    def has_ended(self) -> bool:
        """Tell whether the program ended."""
        return self.process.poll() is not None

    def said(self) -> str:
        """Return what it printed so far."""
        return self.log.read_text()

    def tree(self) -> dict[int, str]:
        """List the living processes that it started and that those started, each with its command line."""
        own = self.children()
        return own | {pid: command for child in own for pid, command in children_of(child).items()}

    def children(self) -> dict[int, str]:
        """List the living processes that it started itself."""
        return children_of(self.process.pid)

    def the(self, part: str) -> int | None:
        """Return the number of its child whose command line holds `part`; None while there is none."""
        return next((pid for pid, command in self.children().items() if part in command), None)


def children_of(pid: int) -> dict[int, str]:
    """List the living children of a process, each with its command line."""
    every = ["ps", "-ww", "-eo", "pid=,ppid=,stat=,args="]
    listed = subprocess.run(every, capture_output=True, text=True, check=True).stdout
    rows = [line.split(maxsplit=3) for line in listed.splitlines()]
    return {int(own): args for own, parent, state, args in rows if int(parent) == pid and state[0] != "Z"}


@dataclass(slots=True, kw_only=True)
class Checkout:
    """A folder with the program's files and nothing that was made there."""

    folder: Path

    @classmethod
    def at(cls, folder: Path) -> "Checkout":
        """Copy the files, and no environment with them."""
        shutil.copytree(ROOT, folder, ignore=LEFT_BEHIND)
        return cls(folder=folder)

    def env(self) -> dict[str, str]:
        """A stranger's environment: an empty home, none of the tests' settings."""
        home = self.folder.parent / "home"
        home.mkdir(exist_ok=True)
        ours = ("RIBBAND_", "DJANGO_", "PYTEST_", "VIRTUAL_ENV", "PYTHON", "GRANIAN_")
        return {name: value for name, value in os.environ.items() if not name.startswith(ours)} | {"HOME": str(home)}

    @property
    def database(self) -> Path:
        """Where the shop's data lies."""
        return self.folder / "var" / "ribband.sqlite3"

    def put_off_the_plan(self) -> None:
        """Let the plan lie until tomorrow: a checkout that is new first compiles what makes it, for half a minute."""
        with closing(sqlite3.connect(self.database, timeout=20)) as database, database:
            database.execute(
                "UPDATE shop_job SET state = 'waiting', token = NULL, lease_until = NULL,"
                " due_at = datetime('now', '+1 day') WHERE name = 'plan' AND state IN ('waiting', 'claimed')"
            )

    def start(self, *options: str, port: int | None = None) -> Started:
        """Start it as the README says, with the Python of this machine."""
        port = port or free_port()
        log = self.folder.parent / f"start-{port}-{len(list(self.folder.parent.glob('start-*')))}.log"
        command = [PYTHON, "manage.py", "start", "--port", str(port), *options]
        return Started(process=spawn_in(self, command, log), log=log, port=port)


def spawn_in(checkout: Checkout, command: list[str], log: Path) -> subprocess.Popen[bytes]:
    """Start a process in a checkout with a stranger's environment."""
    whole = ["env", "-i", *[f"{name}={value}" for name, value in checkout.env().items()], *command]
    return spawn(whole, log=log, cwd=checkout.folder)


def stopped(started: Started, number: int = signal.SIGINT) -> int:
    """Stop it as Ctrl-C does and return its status."""
    return end(started.process, number, within_s=30)

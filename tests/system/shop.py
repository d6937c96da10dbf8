"""A set-up of the program's own processes, with an app of effects, on any database and broker."""

import os
import subprocess
import sys
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from shop.launch.environment import ROOT
from tests.fixtures.processes import kill_group, running, spawn, wait_for
from tests.system.database import WITH_EFFECTS, rows

CELERY = [sys.executable, "-m", "celery", "-q", "-A", "shop"]


@dataclass(slots=True, kw_only=True)
class ShopUnderTest:
    """Commands, workers and beat, all with the same settings and data."""

    folder: Path
    database: str
    settings: dict[str, str] = field(default_factory=dict)
    pool: list[str] = field(default_factory=lambda: ["-P", "solo"])

    @property
    def env(self) -> dict[str, str]:
        """The environment of every process of this set-up."""
        return {
            "DJANGO_SETTINGS_MODULE": WITH_EFFECTS,
            "RIBBAND_VAR": str(self.folder),
            "RIBBAND_TEST_BEGUN": str(self.begun),
            "RIBBAND_DATABASE_URL": self.database,
            "RIBBAND_BROKER_URL": "filesystem://localhost//",
            "RIBBAND_JOB_LEASE_SECONDS": "3",
            **self.settings,
        }

    @property
    def begun(self) -> Path:
        """The file that gets a line whenever a worker begins a job."""
        return self.folder / "begun"

    @property
    def log(self) -> Path:
        """What all its processes said."""
        return self.folder / "log"

    def manage(self, *arguments: str) -> str:
        """Run a management command to its end and return what it printed."""
        command = [sys.executable, "manage.py", *arguments]
        done = subprocess.run(command, cwd=ROOT, env={**os.environ, **self.env}, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def prepare(self) -> None:
        """Make the folders."""
        for name in ("messages", "control"):
            (self.folder / "broker" / name).mkdir(parents=True, exist_ok=True)
        self.begun.touch()

    def beat(self, stack: ExitStack) -> None:
        """Keep beat running until the stack is left."""
        stack.enter_context(running([*CELERY, "beat", "-l", "WARNING"], log=self.log, env=self.env))

    def worker(self) -> subprocess.Popen[bytes]:
        """Start a worker."""
        quiet = ["--without-gossip", "--without-mingle", "-l", "WARNING"]
        return spawn([*CELERY, "worker", *self.pool, *quiet], log=self.log, env=self.env)

    def kill_worker_in_a_job(self, worker: subprocess.Popen[bytes], *, after: int) -> None:
        """Kill a worker and its children the moment it begins a job, once it has begun some."""
        begun = max(after, self.begun_count())
        wait_for("the worker begins a job", lambda: self.begun_count() > begun)
        kill_group(worker)

    def begun_count(self) -> int:
        """Count the attempts so far."""
        return self.begun.read_bytes().count(b"\n")

    def jobs(self) -> dict[str, dict[str, Any]]:
        """Read each job's state, attempts and number of effects, by key."""
        return jobs_in(self.database)

    def effects(self) -> int:
        """Count what all jobs left behind."""
        [(effects,)] = rows(self.database, "SELECT count(*) FROM effects_effect")
        return int(effects)

    def is_all_done(self) -> bool:
        """Tell whether every job that was written down is done."""
        return all(job["state"] == "done" for job in self.jobs().values())


def jobs_in(database: str) -> dict[str, dict[str, Any]]:
    """Read each job's state, attempts and number of effects in a database, by key."""
    found = rows(
        database,
        "SELECT key, state, attempts, (SELECT count(*) FROM effects_effect WHERE effects_effect.key = shop_job.key)"
        " FROM shop_job",
    )
    return {key: {"state": state, "attempts": attempts, "effects": effects} for key, state, attempts, effects in found}

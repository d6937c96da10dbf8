"""Python processes of the program's own, on a database of a test's."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from typing import Any

from shop.launch.environment import ROOT


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """What came of several who acted at once: what each was told, what is left, and what the audit says."""

    told: list[Any]
    left: Any
    audit: str


def play(settings: dict[str, str], script: str, count: int) -> Played:
    """Run one of the scripts of this folder over as many things (see `tests.system.script`)."""
    return Played(**json.loads(run(settings, "-m", f"tests.system.{script}", str(count))))


def run(settings: dict[str, str], *arguments: str) -> str:
    """Run Python with some arguments to its end and return what it printed."""
    command, env = [sys.executable, *arguments], {**os.environ, **settings}
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=180)
    assert done.returncode == 0, done.stderr
    return done.stdout


def manage(settings: dict[str, str], *arguments: str) -> str:
    """Run a management command to its end and return what it printed."""
    return run(settings, "manage.py", *arguments)

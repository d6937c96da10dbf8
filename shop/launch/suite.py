"""`manage.py test`: everything the tests need, then pytest."""

import os
import subprocess
import sys
from pathlib import Path

from shop.launch import debian
from shop.launch.environment import ROOT

# The whole of them over both cores of a small machine, each file in one process, in the order in which they are named,
# and with the same examples each time, so that the same code is always told the same; chosen ones as they come.
SPREAD = ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder", "--hypothesis-seed=0"]
# Files of few tests that take long, since they start programs: they begin, so that neither process ends up alone with
# one of them.
FIRST = ("system", "journeys", "test_docs.py")


def run_tests(arguments: list[str]) -> int:
    """Run pytest with the given arguments and return its exit status.

    The whole suite runs in two processes side by side. Tests whose program cannot be had are left out by name, and the
    status is then never 0; that is counted in one process.
    """
    left_out = [f"--without={name}" for name in debian.provide()]
    spread = [] if arguments or left_out else [*SPREAD, *in_order(ROOT / "tests")]
    # Some hundred processes start in a run: the first keeps what it compiled for the others, whatever the machine says.
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return subprocess.call([sys.executable, "-m", "pytest", *spread, *left_out, *arguments], cwd=ROOT, env=env)


def in_order(tests: Path) -> list[str]:
    """Name everything that holds tests, what takes long first."""
    found = [path for path in tests.iterdir() if any(path.rglob("test_*.py")) or path.match("test_*.py")]
    return [str(path) for path in sorted(found, key=lambda path: (path.name not in FIRST, path.name))]

"""`manage.py test`: everything the tests need, then pytest."""

import subprocess
import sys

from shop.launch import debian
from shop.launch.environment import ROOT

# The whole of them over both cores of a small machine, each file in one process; chosen ones as they come.
SPREAD = ["-n", "2", "--dist", "loadfile"]


def run_tests(arguments: list[str]) -> int:
    """Run pytest with the given arguments and return its exit status.

    The whole suite runs in two processes side by side. Tests whose program cannot be had are left out by name, and the
    status is then never 0; that is counted in one process.
    """
    left_out = [f"--without={name}" for name in debian.provide()]
    spread = [] if arguments or left_out else SPREAD
    return subprocess.call([sys.executable, "-m", "pytest", *spread, *left_out, *arguments], cwd=ROOT)

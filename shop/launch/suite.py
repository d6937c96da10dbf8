"""`manage.py test`: everything the tests need, then pytest."""

import subprocess
import sys

from shop.launch import debian
from shop.launch.environment import ROOT


def run_tests(arguments: list[str]) -> int:
    """Run pytest with the given arguments and return its exit status.

    Tests whose program cannot be had are left out by name, and the status is then never 0.
    """
    left_out = [f"--without={name}" for name in debian.provide()]
    return subprocess.call([sys.executable, "-m", "pytest", *left_out, *arguments], cwd=ROOT)

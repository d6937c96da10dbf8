"""Python processes of the program's own that run side by side on one database."""

import os
import subprocess
import sys

from shop.launch.environment import ROOT


def begin(settings: dict[str, str], *arguments: str) -> "subprocess.Popen[str]":
    """Start Python with some arguments."""
    return subprocess.Popen(
        [sys.executable, *arguments],
        cwd=ROOT,
        env={**os.environ, **settings},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def said(process: "subprocess.Popen[str]") -> str:
    """Wait for a process and return what it printed."""
    out, err = process.communicate(timeout=180)
    assert process.returncode == 0, err
    return out


def run(settings: dict[str, str], *arguments: str) -> str:
    """Run Python with some arguments to its end and return what it printed."""
    return said(begin(settings, *arguments))


def manage(settings: dict[str, str], *arguments: str) -> str:
    """Run a management command to its end and return what it printed."""
    return run(settings, "manage.py", *arguments)

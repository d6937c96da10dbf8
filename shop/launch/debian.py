"""The programs that the tests need beside Python, from Debian's packages where they are missing."""

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from shop.launch.environment import say

POSTGRES_BINARIES = "/usr/lib/postgresql"  # Debian keeps them off the PATH


@dataclass(slots=True, frozen=True, kw_only=True)
class Program:
    """A program by the names it may have, and the Debian package that brings it."""

    names: tuple[str, ...]
    package: str

    def path(self) -> str | None:
        """Find the program; None where it is missing."""
        found = [shutil.which(name) for name in self.names]
        newest_first = sorted(Path(POSTGRES_BINARIES).glob("*/bin"), reverse=True)
        apart = [str(folder / name) for folder in newest_first for name in self.names if (folder / name).exists()]
        return next((path for path in [*found, *apart] if path), None)


PROGRAMS = {
    "chromium": Program(names=("chromium", "chromium-browser"), package="chromium"),
    "postgres": Program(names=("postgres",), package="postgresql"),
    "redis": Program(names=("redis-server",), package="redis-server"),
}


def provide() -> list[str]:
    """Install the missing programs, saying so, and return the names of those that could not be had."""
    missing = [name for name, program in PROGRAMS.items() if program.path() is None]
    if missing:
        packages = [PROGRAMS[name].package for name in missing]
        say(f"The tests need {', '.join(packages)}: installing from Debian's packages")
        install(packages)
    return [name for name in missing if PROGRAMS[name].path() is None]


def install(packages: list[str]) -> None:
    """Install Debian packages as root or through sudo, where that asks nothing; their services stay off for now."""
    if shutil.which("apt-get") is None:
        say("There is no apt-get here; install them by your system's own means.")
        return
    quiet = ["env", "DEBIAN_FRONTEND=noninteractive", "RUNLEVEL=1"]
    command = [*quiet, "apt-get", "-q", "-y", "--no-install-recommends", "install", *packages]
    as_root = [] if os.geteuid() == 0 else ["sudo", "-n"]
    try:
        subprocess.run([*as_root, "apt-get", "-q", "update"], stdout=subprocess.DEVNULL)
        subprocess.run([*as_root, *command], check=True, stdout=subprocess.DEVNULL)
    except (OSError, subprocess.CalledProcessError) as error:
        say(f"They could not be installed: {error}")

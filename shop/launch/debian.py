"""The programs and libraries that the tests need beside Python, from Debian's packages where they are missing."""

import ctypes.util
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

    @property
    def packages(self) -> tuple[str, ...]:
        """The one package that brings it."""
        return (self.package,)

    def is_there(self) -> bool:
        """Tell whether it can be run."""
        return self.path() is not None

    def path(self) -> str | None:
        """Find the program; None where it is missing."""
        found = [shutil.which(name) for name in self.names]
        newest_first = sorted(Path(POSTGRES_BINARIES).glob("*/bin"), reverse=True)
        apart = [str(folder / name) for folder in newest_first for name in self.names if (folder / name).exists()]
        return next((path for path in [*found, *apart] if path), None)


@dataclass(slots=True, frozen=True, kw_only=True)
class Libraries:
    """Shared libraries that are needed together, each by its name without `lib`, and the packages that bring them."""

    names: tuple[str, ...]
    packages: tuple[str, ...]
    files: tuple[str, ...] = ()

    def is_there(self) -> bool:
        """Tell whether all of them can be loaded, and the files are there."""
        return all(map(ctypes.util.find_library, self.names)) and all(Path(file).exists() for file in self.files)


PROGRAMS = {
    "chromium": Program(names=("chromium", "chromium-browser"), package="chromium"),
    "postgres": Program(names=("postgres",), package="postgresql"),
    "redis": Program(names=("redis-server",), package="redis-server"),
    "msgfmt": Program(names=("msgfmt",), package="gettext"),  # reads and compiles the catalogue of translations
}

LIBRARIES = {
    "pango": Libraries(  # pages are laid out as PDF with it
        names=("pango-1.0", "pangoft2-1.0", "harfbuzz-subset"),
        packages=("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0", "fonts-dejavu-core"),
        files=("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",),
    ),
}
NEEDED: dict[str, Program | Libraries] = {**PROGRAMS, **LIBRARIES}


def provide() -> list[str]:
    """Install what is missing, saying so, and return the names of what could not be had."""
    missing = [name for name, needed in NEEDED.items() if not needed.is_there()]
    if missing:
        packages = [package for name in missing for package in NEEDED[name].packages]
        say(f"The tests need {', '.join(packages)}: installing from Debian's packages")
        install(packages)
    return [name for name in missing if not NEEDED[name].is_there()]


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

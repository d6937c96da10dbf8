"""The checkout's own virtual environment: made when missing, brought up to date when the requirements change."""

import fcntl
import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
UV = "uv==0.13.9"  # installs several times faster than pip, which is the fallback
OLDEST = (3, 11)
ALONE = {"tests/requirements.txt": "tests/data-requirements.txt"}  # beside the first, without what they themselves need


def enter(requirements: str) -> None:
    """Return inside the virtual environment with the requirements installed, starting this program again for it.

    Parameters
    ----------
    requirements
        A requirements file's path in the checkout.
    """
    if sys.version_info < OLDEST:
        sys.exit(f"Ribband needs Python {OLDEST[0]}.{OLDEST[1]} or later; this one is {sys.version.split()[0]}.")
    with locked():
        if not is_installed(requirements):
            install(requirements)
    if not is_inside():
        os.execv(PYTHON, [str(PYTHON), *sys.orig_argv[1:]])


def is_inside() -> bool:
    """Tell whether this Python is the virtual environment's."""
    return VENV.exists() and os.path.samefile(sys.prefix, VENV)


def is_installed(requirements: str) -> bool:
    """Tell whether these very requirements were installed to the end."""
    stamps = {stamp_of(name): digest(name) for name in with_alone(requirements)}
    return os.access(PYTHON, os.X_OK) and all(at.exists() and at.read_text() == text for at, text in stamps.items())


def with_alone(requirements: str) -> list[str]:
    """Name a requirements file, and the one that is installed beside it without what its packages need."""
    alone = [ALONE[requirements]] if requirements in ALONE and (ROOT / ALONE[requirements]).exists() else []
    return [requirements, *alone]


def stamp_of(requirements: str) -> Path:
    """Name the file that remembers what was installed."""
    return VENV / ("installed-" + requirements.replace("/", "-"))


def digest(requirements: str) -> str:
    """Hash a requirements file and those that it includes."""
    texts = [(ROOT / name).read_text() for name in with_included(requirements)]
    return hashlib.sha256("\n".join(texts).encode()).hexdigest()


def with_included(requirements: str) -> list[str]:
    """Name a requirements file and those that it includes, each by its path in the checkout."""
    file = ROOT / requirements
    included = re.findall(r"^-r\s+(\S+)", file.read_text(), re.MULTILINE)
    return [requirements, *(os.path.relpath(file.parent / name, ROOT) for name in included)]


@contextmanager
def locked() -> Iterator[None]:
    """Let one process at a time look at the virtual environment; the others wait."""
    (ROOT / "var").mkdir(exist_ok=True)
    with (ROOT / "var" / "environment.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def install(requirements: str) -> None:
    """Make the virtual environment if there is no sound one, and install into it."""
    pip = [str(PYTHON), "-m", "pip"]
    if not succeeds([*pip, "--version"]):
        say("Making the virtual environment .venv")
        make()
    say(f"Installing what {requirements} names")
    wanted = ["-r", str(ROOT / requirements)]
    with_uv = [str(VENV / "bin" / "uv"), "pip", "install", "--quiet", "--python", str(PYTHON), *wanted]
    if not (succeeds([*pip, "install", "--quiet", UV]) and succeeds(with_uv)):
        say("uv could not do it; trying pip, which takes longer")
        if subprocess.run([*pip, "install", "--quiet", *wanted]).returncode:
            sys.exit("The requirements could not be installed; pip says why above.")
    for name in with_alone(requirements)[1:]:
        if subprocess.run([*pip, "install", "--quiet", "--no-deps", "-r", str(ROOT / name)]).returncode:
            sys.exit("The tests' data could not be installed; pip says why above.")
    for name in {*with_included(requirements), *with_alone(requirements)}:
        stamp_of(name).write_text(digest(name))


def make() -> None:
    """Make an empty virtual environment with pip in it."""
    if subprocess.run([sys.executable, "-m", "venv", "--clear", str(VENV)]).returncode:
        sys.exit("The virtual environment could not be made. On Debian its module is the package python3-venv.")


def succeeds(command: list[str]) -> bool:
    """Run a command that may fail, without showing what it prints."""
    try:
        return subprocess.run(command, capture_output=True).returncode == 0
    except OSError:
        return False


def say(line: str) -> None:
    """Print a line at once, beside what the command itself prints, such as JSON."""
    print(line, file=sys.stderr, flush=True)

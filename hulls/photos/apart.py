"""Image work in a process apart: what a stranger's file does to a decoder, it does there, within bounds.

The process holds at most 400 MB and 20 s of a processor; it gets no settings, no secrets and no open files. A decoder
that crashes, hangs or swells takes that process down and nothing else: the photo is refused, the worker goes on.
"""

import json
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

from hulls.photos.copies import SIDES, Copies
from hulls.photos.errors import BROKEN, TOO_HEAVY, TOO_SLOW, PhotoError

ROOT = Path(__file__).resolve().parent.parent.parent
WITHIN_S = 40  # by the clock on the wall; the lease of a job is longer
ENV = {"MALLOC_ARENA_MAX": "2", "PYTHONDONTWRITEBYTECODE": "1"}
OUT_OF_MEMORY, OUT_OF_TIME = ("MemoryError", "bad_alloc", "allocate memory"), -24
Made = TypeVar("Made")


def copies_apart(content: bytes) -> Copies:
    """Make the copies of a photo in a process apart.

    Raises
    ------
    PhotoError
        When the photo is refused, or its decoder crashed or went beyond the bounds.
    """

    def collect(folder: Path, said: dict[str, Any]) -> Copies:
        by_size = {size: (folder / size).read_bytes() for size in SIDES}
        tiny = (folder / "tiny").read_bytes()
        return Copies(width=said["width"], height=said["height"], by_size=by_size, tiny=tiny)

    return _apart("copies", {"photo": content}.items(), collect)


def lapse_apart(frames: Iterable[bytes]) -> bytes:
    """Make a time-lapse in a process apart.

    Raises
    ------
    PhotoError
        As `copies_apart`.
    """
    named = ((f"frame-{n:04}", content) for n, content in enumerate(frames))
    return _apart("lapse", named, lambda folder, said: (folder / "lapse").read_bytes())


def _apart(task: str, files: Iterable[tuple[str, bytes]], collect: Callable[[Path, dict[str, Any]], Made]) -> Made:
    with tempfile.TemporaryDirectory(prefix="ribband-photo-") as name:
        folder = Path(name)
        for file, content in files:
            (folder / file).write_bytes(content)
        said = _run(task, folder)
        if "refused" in said:
            raise PhotoError(said["refused"])
        return collect(folder, said)


def _command(task: str, folder: Path) -> list[str]:
    return [sys.executable, "-m", "hulls.photos", task, str(folder)]


def _run(task: str, folder: Path) -> dict[str, Any]:
    try:
        done = subprocess.run(
            _command(task, folder), cwd=ROOT, env=ENV, capture_output=True, timeout=WITHIN_S, text=True
        )
    except subprocess.TimeoutExpired:
        raise PhotoError(TOO_SLOW) from None
    if done.returncode == 0:
        with suppress(OSError, ValueError):
            return dict(json.loads((folder / "said.json").read_text()))
    if done.returncode in (OUT_OF_TIME, -9):
        raise PhotoError(TOO_SLOW)
    raise PhotoError(TOO_HEAVY if any(words in done.stderr for words in OUT_OF_MEMORY) else BROKEN)

"""The one door to numba: functions over plain arrays, compiled once and kept on disk."""

import hashlib
import os
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import ParamSpec, TypeVar

import numba

P = ParamSpec("P")
R = TypeVar("R")

_HERE = Path(__file__).parent


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function when it is first called; kept on disk where a folder can be written.

    With ``NUMBA_DISABLE_JIT=1`` in the environment it stays what it was, and gives the same results, slowly.

    Parameters
    ----------
    function : callable
        Over integers, floats and numpy arrays alone.

    Returns
    -------
    callable
        The same, fast.
    """
    made: Callable[P, R] = numba.njit(cache=_kept(), nogil=True)(function)
    return made


def part(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function that makes no arrays, as a part of those that call it: nothing is passed on or counted."""
    within = {"nogil": True, "error_model": "numpy", "forceinline": True, "_nrt": False}
    made: Callable[P, R] = numba.njit(cache=_kept(), **within)(function)  # type: ignore[call-overload]
    return made


def compiled_within(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a function that makes no arrays and that compiled ones alone call: no door for Python is made."""
    without = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True, "_nrt": False}
    made: Callable[P, R] = numba.njit(cache=_kept(), **without)(function)  # type: ignore[call-overload]
    return made


@cache
def _kept() -> bool:
    folder = _folder()
    if folder is not None:
        setattr(numba.config, "CACHE_DIR", str(folder))  # noqa: B010
    return folder is not None


def _folder() -> Path | None:
    """Where compiled code is kept: beside the source, else a folder of this user alone; None where neither will do."""
    private = Path(tempfile.gettempdir()) / f"ribband-compiled-{os.getuid()}"
    for base in (_HERE / "__pycache__", private):
        try:
            base.mkdir(mode=0o700, exist_ok=True)
            folder = base / _digest()
            folder.mkdir(exist_ok=True)
        except OSError:
            continue
        # What lies there is run: a folder that somebody else made is not trusted.
        if base.stat().st_uid == os.getuid() and os.access(folder, os.W_OK):
            return folder
    return None


def _digest() -> str:
    """Of every file with compiled functions: one calls another's, and numba looks at its own file alone."""
    digest = hashlib.sha256()
    for path in sorted(_HERE.glob("*.py")):
        text = path.read_bytes()
        if b"@compiled" in text or b"@part" in text:
            digest.update(text)
    return f"compiled-{digest.hexdigest()[:16]}"

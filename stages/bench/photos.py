"""How long a 12-megapixel JPEG takes to all of its copies, beside libvips doing the same work in the same run."""

import importlib
import io
from collections.abc import Callable
from functools import partial
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np
from PIL import Image

from hulls.photos.apart import copies_apart
from hulls.photos.copies import JPEG, SIDES, TINY, WEBP, Encoding, make_copies
from stages.bench.figures import Figure

WIDTH, HEIGHT = 4000, 3000  # twelve megapixels
ROUNDS = 7
AIM = {"WEBP": 1.1, "JPEG": 1.5}  # times the peer
MISSING = "itself: no pyvips here"


def a_photo() -> bytes:
    """A JPEG of twelve megapixels with edges, slopes and grain; no camera's."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    ribs = 40.0 * (np.sin(x / 37.0) > 0.2) + 25.0 * (np.sin(y / 11.0) > 0.6)
    grain = np.random.default_rng(1).normal(0.0, 7.0, (HEIGHT, WIDTH)).astype(np.float32)
    layers = [90.0 + ribs + x / 60.0, 70.0 + ribs * 0.7 + y / 60.0, 45.0 + ribs * 0.4 + (x + y) / 140.0]
    pixels = np.stack([np.clip(layer + grain, 0, 255) for layer in layers], axis=-1).astype(np.uint8)
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=88)
    return out.getvalue()


def measure() -> list[Figure]:
    """Make the copies here, in a process apart, and by libvips, in turns."""
    content, vips = a_photo(), find_vips()
    figures = []
    for encoding in (WEBP, JPEG):
        ours = partial(_ours, content, encoding)
        ours_s, peer_s = in_turns(ours, partial(vips_copies, vips, content, encoding) if vips else ours)
        figures.append(
            Figure(
                name=f"12 MP JPEG to its copies, {encoding.format}",
                ours_s=ours_s,
                peer="libvips" if vips else MISSING,
                peer_s=peer_s,
                aim_s=AIM[encoding.format] * peer_s if vips else None,
            )
        )
    here_s, apart_s = in_turns(partial(_ours, content, WEBP), partial(copies_apart, content))
    figures.append(Figure(name="the same, apart and bounded", ours_s=apart_s, peer="the same, here", peer_s=here_s))
    return figures


def _ours(content: bytes, encoding: Encoding) -> None:
    make_copies(io.BytesIO(content), encoding=encoding)


def find_vips() -> Any | None:
    """The peer, where it is installed; it is no part of the program."""
    try:
        return importlib.import_module("pyvips")
    except (ImportError, OSError):
        return None


def vips_copies(vips: Any, content: bytes, encoding: Encoding) -> dict[str, bytes]:
    """The same copies by libvips: each thumbnail shrinks while it decodes, is turned and stripped."""
    suffix = {"WEBP": ".webp[Q=80,effort=4,keep=none]", "JPEG": ".jpg[Q=82,keep=none]"}[encoding.format]
    copies = {}
    for size, side in SIDES.items():
        copies[size] = vips.Image.thumbnail_buffer(content, side, height=side).write_to_buffer(suffix)
    tiny = vips.Image.thumbnail_buffer(copies["small"], TINY, height=TINY)
    copies["tiny"] = tiny.write_to_buffer(".webp[Q=30,effort=4,keep=none]")
    return copies


def in_turns(ours: Callable[[], object], peer: Callable[[], object]) -> tuple[float, float]:
    """Median seconds of either, taken in turns after a round that does not count."""
    taken: tuple[list[float], list[float]] = ([], [])
    for n in range(ROUNDS + 1):
        for work, times in zip((ours, peer), taken, strict=True):
            begun = perf_counter()
            work()
            if n:
                times.append(perf_counter() - begun)
    return median(taken[0]), median(taken[1])

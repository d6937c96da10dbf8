"""A time-lapse: a boat's photos one after the other, as an animated WebP."""

import io
from collections.abc import Iterable, Sequence
from typing import BinaryIO, Final, TypeVar

from PIL import ImageOps

from hulls.photos.opening import open_photo

FRAME: Final = (480, 360)
EDGE: Final = "#ece3cd"  # what a frame that is no 4 by 3 is set on
MOST_FRAMES: Final = 90
EACH_MS, LAST_MS = 700, 3000
Item = TypeVar("Item")


def spread(items: Sequence[Item], most: int = MOST_FRAMES) -> list[Item]:
    """At most so many of a sequence, evenly spread; the first and the last are among them."""
    if len(items) <= most:
        return list(items)
    return [items[round(n * (len(items) - 1) / (most - 1))] for n in range(most)]


def make_lapse(files: Iterable[BinaryIO]) -> bytes:
    """Show photos one after the other, the last one longer.

    Parameters
    ----------
    files : iterable of binary files
        The photos in their order, two at least.

    Raises
    ------
    PhotoError
        As `open_photo`.
    """
    frames = [ImageOps.pad(open_photo(file, max(FRAME)), FRAME, color=EDGE) for file in files]
    times = [EACH_MS] * (len(frames) - 1) + [LAST_MS]
    out = io.BytesIO()
    first, *others = frames
    first.save(out, "WEBP", save_all=True, append_images=others, duration=times, loop=0, quality=70, method=3)
    return out.getvalue()

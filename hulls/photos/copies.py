"""The copies that a page shows: three widths, and one so small that it travels inside the page."""

import io
from dataclasses import dataclass
from typing import BinaryIO, Final

from PIL import Image

from hulls.photos.opening import open_photo

SIDES: Final = {"small": 480, "medium": 960, "large": 1920}  # longer side, pixels
TINY: Final = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Encoding:
    """How pixels are written: Pillow's name of the format, and its options."""

    format: str
    options: dict[str, int | bool]


WEBP: Final = Encoding(format="WEBP", options={"quality": 80, "method": 4})
JPEG: Final = Encoding(format="JPEG", options={"quality": 82, "optimize": False})


@dataclass(frozen=True, slots=True, kw_only=True)
class Copies:
    """What is kept of a photo.

    Parameters
    ----------
    width, height : int
        Of the largest copy, pixels.
    by_size : dict
        The encoded copies, by the names in `SIDES`. A photo that is smaller than a size is not blown up.
    tiny : bytes
        A WebP of 16 pixels, to stand in while a copy loads.
    """

    width: int
    height: int
    by_size: dict[str, bytes]
    tiny: bytes


def make_copies(file: BinaryIO, *, encoding: Encoding = WEBP) -> Copies:
    """Make every copy of a photo from one decoding of it, each from the next larger one.

    Raises
    ------
    PhotoError
        As `open_photo`.
    """
    image = open_photo(file, SIDES["large"])
    width, height = image.size
    by_size: dict[str, bytes] = {}
    for size, side in reversed(SIDES.items()):
        image.thumbnail((side, side), reducing_gap=None)
        by_size[size] = encoded(image, encoding)
    image.thumbnail((TINY, TINY))
    tiny = encoded(image, Encoding(format="WEBP", options={"quality": 30, "method": 4}))
    return Copies(width=width, height=height, by_size=by_size, tiny=tiny)


def encoded(image: Image.Image, encoding: Encoding) -> bytes:
    """The pixels of an image, written."""
    out = io.BytesIO()
    image.save(out, encoding.format, **encoding.options)
    return out.getvalue()


def size_of(width: int, height: int, size: str) -> tuple[int, int]:
    """Width and height of a copy, pixels, from those of the largest one."""
    share = min(1.0, SIDES[size] / max(width, height, 1))
    return max(1, round(width * share)), max(1, round(height * share))

"""A photo small enough to lie inside a letter, as a JPEG: not every mail program shows the format that pages use."""

import io
from dataclasses import dataclass

from PIL import Image

SIDE = 480
QUALITY = 72


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallJpeg:
    """The bytes, and how large it is in pixels."""

    content: bytes
    width: int
    height: int


def small_jpeg(copy: bytes) -> SmallJpeg:
    """Make one of a copy that the shop keeps itself."""
    with Image.open(io.BytesIO(copy)) as image:
        small = image.convert("RGB")
    small.thumbnail((SIDE, SIDE))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=QUALITY, optimize=True)
    return SmallJpeg(content=out.getvalue(), width=small.width, height=small.height)

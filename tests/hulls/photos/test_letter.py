"""The photo that lies inside a letter."""

import io

import pytest
from PIL import Image

from hulls.photos.letter import SIDE, small_jpeg


def a_copy(width: int, height: int, mode: str = "RGB") -> bytes:
    out = io.BytesIO()
    Image.new(mode, (width, height), "#c08a55").save(out, "WEBP")
    return out.getvalue()


@pytest.mark.parametrize(
    ("size", "becomes"),
    [((480, 360), (480, 360)), ((1920, 1440), (480, 360)), ((360, 480), (360, 480)), ((40, 30), (40, 30))],
)
@pytest.mark.parametrize("mode", ["RGB", "RGBA"])
def test_it_is_a_small_jpeg_that_is_never_blown_up(size: tuple[int, int], becomes: tuple[int, int], mode: str) -> None:
    small = small_jpeg(a_copy(*size, mode))
    assert (small.width, small.height) == becomes
    assert max(becomes) <= SIDE
    with Image.open(io.BytesIO(small.content)) as image:
        assert (image.format, image.size, image.mode) == ("JPEG", becomes, "RGB")
        assert not image.getexif()
        red, green, blue = image.getpixel((5, 5))  # type: ignore[misc]
    assert abs(red - 0xC0) + abs(green - 0x8A) + abs(blue - 0x55) < 12

"""A HEIC photo made smaller while it is decoded: the same pixels as if it had been held whole."""

import io

import pytest
from PIL import Image, ImageChops

from hulls.photos.errors import NO_PHOTO, TOO_MANY_PIXELS, PhotoError
from hulls.photos.heif import open_heif_photo
from hulls.photos.opening import open_photo
from tests.photo_files import a_file, exif

MANY = 60_000_000


def a_slope(width: int, height: int, mode: str = "RGB") -> Image.Image:
    bands = [Image.linear_gradient("L").resize((width, height)).rotate(turn) for turn in (0, 180, 0)]
    return Image.merge("RGB", bands).convert(mode)


@pytest.mark.parametrize(("size", "factor"), [((1601, 1203), 2), ((1601, 1203), 1), ((1201, 2003), 3), ((90, 70), 1)])
@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L"])
def test_band_by_band_it_is_what_pillow_makes_of_the_whole(size: tuple[int, int], factor: int, mode: str) -> None:
    content = a_file("HEIF", a_slope(*size, mode), quality=80)
    made = open_heif_photo(io.BytesIO(content), max(size) // (2 * factor), MANY)
    whole = Image.open(io.BytesIO(content))
    assert whole.mode == made.mode
    assert made.size == whole.reduce(factor).size
    assert ImageChops.difference(made.convert("RGB"), whole.reduce(factor).convert("RGB")).getbbox() is None


def test_it_is_turned_by_its_boxes_once() -> None:
    content = a_file("HEIF", a_slope(400, 300), exif=exif(turned=6).tobytes())
    assert open_heif_photo(io.BytesIO(content), 400, MANY).size == (300, 400)
    assert open_photo(io.BytesIO(content), 400).size == (300, 400)


@pytest.mark.parametrize(("most", "kept"), [(119_999, False), (120_000, True), (120_001, True)])
def test_it_is_refused_by_its_pixels_before_it_is_decoded(most: int, kept: bool) -> None:
    file = io.BytesIO(a_file("HEIF", a_slope(400, 300)))
    if kept:
        assert open_heif_photo(file, 400, most).size == (400, 300)
        return
    with pytest.raises(PhotoError, match=TOO_MANY_PIXELS):
        open_heif_photo(file, 400, most)


def test_broken_boxes_are_no_photo() -> None:
    content = a_file("HEIF", a_slope(400, 300)).replace(b"iloc", b"xxxx")
    with pytest.raises(PhotoError, match=NO_PHOTO):
        open_heif_photo(io.BytesIO(content), 400, MANY)

"""A file is told by its bytes, whatever its name says."""

import io

import pytest

from hulls.photos.errors import EMPTY, NO_PHOTO, TOO_LARGE, PhotoError
from hulls.photos.kinds import LARGEST_BYTES, check_file, kind_of
from tests.photo_files import a_file

SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF", "HEIF"])
def test_every_kind_that_phones_send_is_known_by_its_first_bytes(kind: str) -> None:
    assert check_file(io.BytesIO(a_file(kind))) == kind


@pytest.mark.parametrize(
    "content",
    [SVG, b"GIF89a<script>", b"%PDF-1.7 ...", b"MZ\x90\x00", b"\0\0\0\x18ftypisom\0\0\0\0mp42isom", b"\xff\xd8", b"x"],
)
def test_every_other_file_is_no_photo(content: bytes) -> None:
    with pytest.raises(PhotoError) as refused:
        check_file(io.BytesIO(content))
    assert refused.value.message == NO_PHOTO


def test_an_empty_file_is_said_to_be_empty() -> None:
    with pytest.raises(PhotoError) as refused:
        check_file(io.BytesIO())
    assert refused.value.message == EMPTY


@pytest.mark.parametrize(("over", "refused"), [(-1, False), (0, False), (1, True)])
def test_the_bound_on_bytes_holds_for_what_was_sent_even_where_less_was_kept(over: int, refused: bool) -> None:
    file = io.BytesIO(a_file())
    if not refused:
        assert check_file(file, size=LARGEST_BYTES + over) == "JPEG"
        return
    with pytest.raises(PhotoError) as found:
        check_file(file, size=LARGEST_BYTES + over)
    assert found.value.message == TOO_LARGE


def test_an_image_file_of_several_brands_is_told_by_the_one_that_says_how_it_is_packed() -> None:
    # ISO/IEC 23008-12, 10: mif1 is the container alone; the compatible brands name the coding.
    assert kind_of(b"\0\0\0\x1cftypmif1\0\0\0\0mif1avifmiaf") == "AVIF"
    assert kind_of(b"\0\0\0\x1cftypmif1\0\0\0\0mif1heicmiaf") == "HEIF"

"""Both sides of the benchmark of photos make the same copies; how fast is not tested."""

import io

import pytest
import pyvips
from PIL import Image

from hulls.photos.copies import JPEG, SIDES, WEBP, Encoding, make_copies
from stages.bench.photos import find_vips, vips_copies
from tests.photo_files import a_file, a_picture


@pytest.mark.parametrize("encoding", [WEBP, JPEG], ids=lambda encoding: encoding.format)
def test_the_peer_makes_copies_of_the_same_size_kind_and_colours(encoding: Encoding) -> None:
    content = a_file(image=a_picture(2400, 1800))
    ours, peer = make_copies(io.BytesIO(content), encoding=encoding).by_size, vips_copies(pyvips, content, encoding)
    for size in SIDES:
        one, other = (Image.open(io.BytesIO(made[size])) for made in (ours, peer))
        assert (one.size, one.format) == (other.size, other.format)
        corner = (one.width - 5, one.height - 5)
        pair = zip(one.convert("RGB").getpixel(corner), other.convert("RGB").getpixel(corner), strict=True)  # type: ignore[arg-type]
        assert all(abs(a - b) <= 6 for a, b in pair)


def test_the_peer_is_found_where_it_is_installed() -> None:
    assert find_vips() is pyvips

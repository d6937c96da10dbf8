"""Copies of a photo: upright, in sRGB, in their widths, and without anything that the phone wrote."""

import io
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, ImageFile

from hulls.photos.copies import JPEG, SIDES, TINY, Copies, make_copies, size_of
from hulls.photos.errors import BROKEN, CUT_OFF, TOO_MANY_PIXELS, PhotoError
from hulls.photos.lapse import FRAME, MOST_FRAMES, make_lapse, spread
from tests.photo_files import BROWN, a_file, a_phone_s_jpeg, a_picture, a_png_bomb

HIDDEN = (b"Exif", b"GPS", b"Phone maker", b"ICCP", b"ICC_PROFILE", b"XMP", b"xmpmeta", b"a comment", b"EXIF")

WHOLE = {kind: a_file(kind, a_picture(64, 48)) for kind in ("JPEG", "PNG", "WEBP", "AVIF")}


def copies_of(content: bytes) -> Copies:
    return make_copies(io.BytesIO(content))


def opened(copies: Copies, size: str = "large") -> Image.Image:
    return Image.open(io.BytesIO(copies.by_size[size]))


def refusal_of(content: bytes) -> str:
    with pytest.raises(PhotoError) as refused:
        copies_of(content)
    return refused.value.message


def near(pixel: object, expected: tuple[int, int, int], by: int = 10) -> bool:
    assert isinstance(pixel, tuple)
    return all(abs(a - b) <= by for a, b in zip(pixel, expected, strict=True))


# --- What is made


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF", "HEIF"])
def test_every_kind_becomes_three_webps_and_a_tiny_one(kind: str) -> None:
    copies = copies_of(a_file(kind, a_picture(2400, 1800)))
    assert (copies.width, copies.height) == (1920, 1440)
    assert {size: opened(copies, size).size for size in SIDES} == {
        "small": (480, 360),
        "medium": (960, 720),
        "large": (1920, 1440),
    }
    assert {opened(copies, size).format for size in SIDES} == {"WEBP"}
    assert Image.open(io.BytesIO(copies.tiny)).size == (TINY, 12)
    assert len(copies.tiny) < 200
    assert near(opened(copies).getpixel((1900, 1400)), BROWN)


def test_a_small_photo_is_not_blown_up() -> None:
    copies = copies_of(a_file(image=a_picture(300, 200)))
    assert {opened(copies, size).size for size in SIDES} == {(300, 200)}


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("size", [(1, 9000), (9000, 1)])
def test_a_photo_as_thin_as_a_thread_is_one(kind: str, size: tuple[int, int]) -> None:
    copies = make_copies(io.BytesIO(a_file(kind, image=Image.new("RGB", size))))
    assert min(copies.width, copies.height) == 1


def test_the_sizes_that_a_page_is_told_are_those_of_the_files() -> None:
    for width, height in ((2400, 1800), (1800, 2400), (4000, 700), (300, 200)):
        copies = copies_of(a_file(image=a_picture(width, height)))
        for size in SIDES:
            told = size_of(copies.width, copies.height, size)
            assert all(abs(a - b) <= 1 for a, b in zip(told, opened(copies, size).size, strict=True)), (width, size)


def test_a_jpeg_can_be_had_too() -> None:
    copies = make_copies(io.BytesIO(a_file(image=a_picture(800, 600))), encoding=JPEG)
    assert {opened(copies, size).format for size in SIDES} == {"JPEG"}


# --- What is left out


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF", "HEIF"])
def test_nothing_that_the_phone_wrote_is_in_any_copy(kind: str) -> None:
    written = Image.open(io.BytesIO(a_phone_s_jpeg()))
    options = {"exif": written.getexif().tobytes(), "icc_profile": written.info["icc_profile"]}
    content = a_phone_s_jpeg() if kind == "JPEG" else a_file(kind, written, **options)
    assert any(words in content for words in HIDDEN)  # the check below sees what there is to see
    copies = copies_of(content)
    for made in (*copies.by_size.values(), copies.tiny):
        assert [words for words in HIDDEN if words in made] == []
        info = Image.open(io.BytesIO(made))
        assert not info.getexif()
        assert not {"exif", "icc_profile", "xmp", "comment"} & set(info.info)


def test_what_was_hung_onto_a_photo_is_in_no_copy() -> None:
    hung_on = b"<script>alert('polyglot')</script>PK\x03\x04"
    copies = copies_of(a_file() + hung_on)
    assert not any(hung_on[:20] in made or b"PK\x03\x04" in made for made in copies.by_size.values())


# --- Upright


@pytest.mark.parametrize(
    ("turned", "size", "light_corner"),
    [
        # Exif 3.0, 4.6.5 (Orientation): where the 0th row and the 0th column of what is stored are to be seen.
        (1, (400, 300), (0, 0)),
        (2, (400, 300), (1, 0)),
        (3, (400, 300), (1, 1)),
        (4, (400, 300), (0, 1)),
        (5, (300, 400), (0, 0)),
        (6, (300, 400), (1, 0)),
        (7, (300, 400), (1, 1)),
        (8, (300, 400), (0, 1)),
    ],
)
def test_a_photo_is_turned_upright(turned: int, size: tuple[int, int], light_corner: tuple[int, int]) -> None:
    image = opened(copies_of(a_phone_s_jpeg(turned=turned))).convert("RGB")
    assert image.size == size
    corners = [(x, y) for x in (0, 1) for y in (0, 1)]
    right, foot = size[0] - 20, size[1] - 20
    light = [(x, y) for x, y in corners if near(image.getpixel((10 + x * right, 10 + y * foot)), (250, 240, 220), 16)]
    assert light == [light_corner]


@pytest.mark.parametrize("turned", [0, 9, 65_535])
def test_a_turn_that_there_is_not_turns_nothing(turned: int) -> None:
    assert opened(copies_of(a_phone_s_jpeg(turned=turned))).size == (400, 300)


def test_a_size_that_the_exif_data_lie_about_does_not_matter() -> None:
    assert opened(copies_of(a_phone_s_jpeg(width=10_000_000))).size == (400, 300)


def test_exif_data_that_are_rubbish_do_not_cost_the_photo() -> None:
    rubbish = b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + b"\x01\x12\x00\x03\xff\xff\xff\xff" * 4
    assert opened(copies_of(a_file(exif=rubbish))).size == (400, 300)


# --- Colours


def test_a_photo_s_own_colours_are_converted_and_not_only_dropped() -> None:
    # A profile whose red is the blue of sRGB and the other way round: what it calls (200, 120, 40) is (40, 120, 200).
    content = a_file("PNG", Image.new("RGB", (64, 64), (200, 120, 40)), icc_profile=red_for_blue())
    assert near(opened(copies_of(content)).getpixel((32, 32)), (40, 120, 200), 6)


def test_the_profile_of_srgb_changes_nothing() -> None:
    assert near(opened(copies_of(a_phone_s_jpeg())).getpixel((390, 290)), BROWN)


def red_for_blue() -> bytes:
    """The profile of sRGB with the signatures of its red and blue colorants changed over (ICC.1:2022, 7.3 and 9.2)."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for one, other in ((b"rXYZ", b"????"), (b"bXYZ", b"rXYZ"), (b"????", b"bXYZ")):
        profile = profile.replace(one, other, 1)
    return profile.replace("sRGB".encode("utf-16-be"), "Swap".encode("utf-16-be"))


def test_a_profile_that_is_rubbish_is_dropped() -> None:
    assert near(opened(copies_of(a_file("PNG", icc_profile=b"rubbish"))).getpixel((390, 290)), BROWN)


@pytest.mark.parametrize("mode", ["L", "CMYK", "P", "LA", "RGBA", "1"])
def test_every_kind_of_pixel_becomes_rgb(mode: str) -> None:
    content = a_file("JPEG" if mode == "CMYK" else "PNG", a_picture(40, 30, mode))
    assert opened(copies_of(content)).mode == "RGB"


def test_sixteen_bits_of_grey_keep_their_tone() -> None:
    made = opened(copies_of(a_file("PNG", Image.new("I;16", (40, 30), 32_768))))
    assert near(made.getpixel((20, 15)), (128, 128, 128))


def test_what_is_transparent_is_white() -> None:
    clear = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    assert near(opened(copies_of(a_file("PNG", clear))).getpixel((20, 15)), (255, 255, 255))


# --- What is refused


def test_a_photo_that_is_cut_off_is_said_to_be(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)  # as a library for PDFs leaves it behind
    whole = a_file(image=Image.effect_noise((400, 300), 80).convert("RGB"))
    assert refusal_of(whole[: len(whole) // 2]) == CUT_OFF


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    content = a_png_bomb()
    assert len(content) < 1_000_000
    assert refusal_of(content) == TOO_MANY_PIXELS


@pytest.mark.parametrize("kind", ["HEIF", "AVIF"])
@pytest.mark.parametrize("at", [20, 60, 120, 200])
def test_a_file_with_broken_boxes_is_refused(kind: str, at: int) -> None:
    whole = bytearray(a_file(kind))
    whole[at : at + 16] = b"\xff" * 16
    with pytest.raises(PhotoError):
        copies_of(bytes(whole[: len(whole) - 40]))


def test_a_file_that_only_begins_like_a_photo_is_refused() -> None:
    assert refusal_of(b"\xff\xd8\xff" + b"<script>" * 20) == BROKEN


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF"])
@settings(max_examples=40)
@given(data=st.data())
def test_whatever_became_of_a_file_on_its_way_it_is_copied_or_refused(kind: str, data: st.DataObject) -> None:
    content = bytearray(WHOLE[kind])
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(content) - 1))
        content[at : at + 4] = data.draw(st.binary(max_size=8))
    with suppress(PhotoError):
        copies = copies_of(bytes(content))
        assert max(copies.width, copies.height) <= SIDES["large"]
        assert opened(copies).format == "WEBP"


# --- The time-lapse


def test_a_time_lapse_shows_every_photo_once_and_the_last_one_longer() -> None:
    colours = (170, 0, 0), (0, 170, 0), (0, 0, 170)
    sizes = (400, 300), (300, 400), (800, 200)
    files = [a_file(image=Image.new("RGB", size, colour)) for size, colour in zip(sizes, colours, strict=True)]
    lapse = Image.open(io.BytesIO(make_lapse(map(io.BytesIO, files))))
    assert (lapse.format, lapse.size, getattr(lapse, "n_frames", 1)) == ("WEBP", FRAME, 3)
    for n, colour in enumerate(colours):
        lapse.seek(n)
        assert near(lapse.convert("RGB").getpixel((240, 180)), colour, 20)


@pytest.mark.parametrize("count", [2, MOST_FRAMES, MOST_FRAMES + 1, 1000])
def test_of_many_photos_some_are_shown_the_first_and_the_last_among_them(count: int) -> None:
    chosen = spread(range(count))
    assert (len(chosen), chosen[0], chosen[-1]) == (min(count, MOST_FRAMES), 0, count - 1)
    assert chosen == sorted(set(chosen))

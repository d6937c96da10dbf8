"""The encodings of a file. Bytes of Windows-1252 by the Unicode Consortium's mapping table CP1252.TXT."""

import codecs
import io
import zipfile

import pytest

from shop.sheets.problems import SheetError
from shop.sheets.source import MAX_LINE, Lines, encoding_of

WORDS = "Größe, crème, „quoted“ – 16′ 2½″\n"


def lines_of(text: str) -> Lines:
    return Lines(io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8", newline=""))


@pytest.mark.parametrize(
    ("content", "encoding"),
    [
        (WORDS.encode(), "utf-8"),
        (codecs.BOM_UTF8 + WORDS.encode(), "utf-8-sig"),
        (WORDS.encode("utf-16"), "utf-16"),
        (codecs.BOM_UTF16_BE + WORDS.encode("utf-16-be"), "utf-16"),
        (b"Gr\xf6\xdfe \x84quoted\x93 \x96 16\x92", "cp1252"),
        (b"plain", "utf-8"),
    ],
)
def test_the_encoding_is_found(content: bytes, encoding: str) -> None:
    assert encoding_of(io.BytesIO(content)) == encoding


def test_windows_1252_is_found_though_its_first_odd_byte_comes_late() -> None:
    # 0x92 is U+2019, the typographic apostrophe, in CP1252.TXT.
    content = b"plain line\n" * 20_000 + b"16\x92\n"
    assert encoding_of(io.BytesIO(content)) == "cp1252"
    assert content.decode("cp1252").endswith("16\u2019\n")


def test_a_utf_8_character_across_two_chunks_is_still_utf_8() -> None:
    assert encoding_of(io.BytesIO(b"x" * 65_535 + "ö".encode())) == "utf-8"


def test_a_file_cut_off_inside_a_character_is_not_utf_8() -> None:
    assert encoding_of(io.BytesIO("16½".encode()[:-1])) == "cp1252"


@pytest.mark.parametrize("content", [b"", b"\n \r\n"])
def test_an_empty_file_is_refused(content: bytes) -> None:
    with pytest.raises(SheetError, match="empty"):
        encoding_of(io.BytesIO(content))


def test_a_workbook_is_refused_with_the_way_out() -> None:
    workbook = io.BytesIO()
    with zipfile.ZipFile(workbook, "w") as archive:
        archive.writestr("sheet.xml", "<sheet/>")
    with pytest.raises(SheetError, match="save it as CSV"):
        encoding_of(workbook)


def test_binary_data_is_refused() -> None:
    with pytest.raises(SheetError, match="not a text file"):
        encoding_of(io.BytesIO(b"tag,owner\n\x00\x01\x02"))


@pytest.mark.parametrize("content", [b"caf\xe9 \x81", codecs.BOM_UTF8 + b"caf\xe9"])
def test_characters_of_no_known_encoding_are_refused(content: bytes) -> None:
    # 0x81 is undefined in CP1252.TXT, and no UTF-8 sequence.
    with pytest.raises(SheetError, match="neither UTF-8 nor Windows-1252"):
        encoding_of(io.BytesIO(content))


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_numbered_whatever_ends_them(end: str) -> None:
    assert [(line.number, line.text.strip()) for line in lines_of(f"a{end}b{end}c")] == [(1, "a"), (2, "b"), (3, "c")]


def test_lines_put_back_come_again_in_their_order() -> None:
    lines = lines_of("a\nb\nc\n")
    walk = iter(lines)
    first, second = next(walk), next(walk)
    lines.put_back([first, second])
    assert [line.number for line in lines] == [1, 2, 3]


def test_an_endless_line_is_cut_and_counted_once() -> None:
    long, after = lines_of("x" * (MAX_LINE * 3) + "\nafter\n")
    assert not long.whole
    assert len(long.text) == MAX_LINE
    assert (after.number, after.whole) == (2, True)

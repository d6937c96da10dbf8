"""Labels lie on their sheets, and an independent reader of ISO/IEC 18004 reads what their codes hold."""

import io

import pypdfium2
import pytest
import segno
import zxingcpp
from django.template.loader import render_to_string
from PIL import Image, ImageDraw

from shop.labels.drawing import QUIET, Label, draw_sheets, path_of
from shop.labels.sheets import SHEETS, LabelSheet
from shop.pdf import Paper, pdf_of

ADDRESS = "https://shop.example.org/t/h1234/"


def drawn_code(address: str, scale: int = 8) -> Image.Image:
    """The path of a code as a picture, drawn without the library that made it."""
    code = segno.make(address, error="q", micro=False)
    side = int(code.symbol_size(border=QUIET)[0])
    picture = Image.new("L", (side * scale, side * scale), 255)
    pen = ImageDraw.Draw(picture)
    for part in path_of(code).split("M")[1:]:
        start, rest = part.split("h", 1)
        x, y = map(int, start.split())
        length = int(rest.split("v")[0])
        pen.rectangle((x * scale, y * scale, (x + length) * scale - 1, (y + 1) * scale - 1), fill=0)
    return picture


def test_the_code_reads_as_its_address_with_error_correction_q_at_least() -> None:
    (found,) = zxingcpp.read_barcodes(drawn_code(ADDRESS))
    assert (found.text, found.format) == (ADDRESS, zxingcpp.BarcodeFormat.QRCode)
    assert found.ec_level in ("Q", "H")  # where the next level takes no more room, it is taken


def test_varnish_on_a_tenth_of_the_code_leaves_it_readable() -> None:
    """ISO/IEC 18004: level Q recovers about a quarter of the codewords."""
    picture = drawn_code(ADDRESS)
    side = picture.width
    blot = side * 0.3
    ImageDraw.Draw(picture).ellipse((side * 0.45, side * 0.5, side * 0.45 + blot, side * 0.5 + blot), fill=0)
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [ADDRESS]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.key)
def test_the_labels_of_a_sheet_lie_on_the_paper_and_not_on_each_other(sheet: LabelSheet) -> None:
    corners = list(sheet.corners())
    width, height = sheet.paper_mm
    assert len(set(corners)) == sheet.count
    for x, y in corners:
        assert -0.01 <= x <= width - sheet.width_mm + 0.01
        assert -0.01 <= y <= height - sheet.height_mm + 0.01
    for x, y in corners:
        near = [
            (a, b) for a, b in corners if abs(a - x) < sheet.width_mm - 0.01 and abs(b - y) < sheet.height_mm - 0.01
        ]
        assert near == [(x, y)]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.key)
def test_code_and_words_stay_within_their_label(sheet: LabelSheet) -> None:
    label = Label(address=ADDRESS, name="CANOE-2026/0001X", lines=("A very long name of a product, " * 4, "came", "x"))
    (page,) = draw_sheets(sheet, [label] * sheet.count)
    for one, (left, top) in zip(page.labels, sheet.corners(), strict=True):
        for words in one.words:
            assert left < float(words.x) < left + sheet.width_mm
            assert top < float(words.y) - 0.7 * float(words.size)
            assert float(words.y) < top + sheet.height_mm


def test_labels_begin_at_the_first_free_one_and_go_on_to_the_next_sheet() -> None:
    sheet = SHEETS[0]
    pages = draw_sheets(sheet, [Label(address=ADDRESS, name="x")] * 3, first=sheet.count - 1)
    assert [len(page.labels) for page in pages] == [2, 1]
    places = [round(float(page.labels[0].code_at.split("(")[1].split()[0]), 1) for page in pages]
    assert places == [round(x + 2.0, 1) for x, _y in (list(sheet.corners())[-2], next(sheet.corners()))]


@pytest.mark.parametrize("first", [0, 22])
def test_a_place_that_the_sheet_has_not_is_refused(first: int) -> None:
    with pytest.raises(ValueError, match="1 to 21"):
        draw_sheets(SHEETS[0], [], first=first)


def test_a_small_label_with_a_long_address_is_called_too_fine() -> None:
    small = min(SHEETS, key=lambda sheet: sheet.height_mm)
    large = max(SHEETS, key=lambda sheet: sheet.height_mm)
    label = Label(
        address="https://a-very-long-name-of-a-shop.and-of-its-town.example.org/canoes/labels/t/h1234/", name="x"
    )
    assert [draw_sheets(sheet, [label])[0].fine for sheet in (small, large)] == [True, False]


def test_every_code_of_a_printed_pdf_is_read() -> None:
    addresses = [f"https://shop.example.org/t/c{n}/" for n in range(1, 31)]
    sheet = next(sheet for sheet in SHEETS if sheet.key == "letter-30")
    pages = draw_sheets(sheet, [Label(address=address, name="L891") for address in addresses])
    html = render_to_string("stages/tags_print.html", {"sheets": pages, "letter": True})
    document = pypdfium2.PdfDocument(io.BytesIO(pdf_of(html, "http://testserver/", Paper.LETTER)))
    assert len(document) == 1
    assert document[0].get_size() == (612, 792)
    picture = document[0].render(scale=300 / 72).to_pil()
    assert {found.text for found in zxingcpp.read_barcodes(picture)} == set(addresses)

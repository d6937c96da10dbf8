"""CSV by RFC 4180, section 2, read back by Python's csv module; formulas are made harmless."""

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.sheets.writing import Cell, csv_of

BOM = b"\xef\xbb\xbf"


def text(*rows: tuple[Cell, ...]) -> str:
    return csv_of(("a", "b"), rows).removeprefix(BOM).decode()


def test_rows_end_with_cr_and_lf_and_the_head_comes_first() -> None:
    assert text(("aaa", "bbb")) == "a,b\r\naaa,bbb\r\n"


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("b \r\nbb", '"b \r\nbb"'),  # rule 6 and its example
        ('b"bb', '"b""bb"'),  # rule 7 and its example
        ("b,bb", '"b,bb"'),
        ("", '""'),
    ],
)
def test_cells_are_quoted_where_the_standard_asks_for_it(cell: str, written: str) -> None:
    quoted = text((cell, "x")).removeprefix("a,b\r\n")
    assert quoted in (f"{written},x\r\n", f"{cell},x\r\n" if not cell else "")


def test_it_begins_with_the_mark_of_utf_8() -> None:
    assert csv_of(("é",), []) == BOM + "é\r\n".encode()


@pytest.mark.parametrize("begins", ["=", "+", "-", "@", "\t", "\r"])
def test_a_text_that_a_sheet_could_run_is_made_harmless(begins: str) -> None:
    (_head, (cell, _other)) = csv.reader(io.StringIO(text((f"{begins}1+1", "x")), newline=""))
    assert cell == f"'{begins}1+1"


def test_a_number_below_zero_stays_a_number_and_a_day_is_iso_8601() -> None:
    assert text((Decimal("-12.50"), date(2031, 5, 15))) == "a,b\r\n-12.50,2031-05-15\r\n"
    assert text((Decimal("1E+2"), None)) == "a,b\r\n100,\r\n"


@given(st.lists(st.tuples(st.text(), st.text()), max_size=5))
def test_any_text_comes_back_and_none_begins_like_a_formula(rows: list[tuple[str, str]]) -> None:
    rows = [tuple(cell.encode("utf-8", "ignore").decode().replace("\0", "") for cell in row) for row in rows]  # type: ignore[misc]
    read = list(csv.reader(io.StringIO(text(*rows), newline="")))[1:]
    assert len(read) == len(rows)
    for row, held in zip(rows, read, strict=True):
        for cell, back in zip(row, held, strict=True):
            assert back in (cell, f"'{cell}")
            assert not back.startswith(("=", "+", "-", "@", "\t", "\r"))

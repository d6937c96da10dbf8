"""Rows of cells, by RFC 4180 (Common Format and MIME Type for CSV Files), section 2."""

import io

import pytest

from shop.sheets.records import MAX_LINES, Record, records
from shop.sheets.source import MAX_LINE, Lines


def split(text: str, delimiter: str = ",") -> list[Record]:
    return list(records(Lines(io.TextIOWrapper(io.BytesIO(text.encode()), encoding="utf-8", newline="")), delimiter))


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),  # rule 1
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),  # rule 2
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]),  # rule 5
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [("aaa", "b\r\nbb", "ccc"), ("zzz", "yyy", "xxx")]),  # rule 6
        ('"aaa","b""bb","ccc"', [("aaa", 'b"bb', "ccc")]),  # rule 7
    ],
)
def test_the_examples_of_rfc_4180_are_split_as_it_says(text: str, rows: list[tuple[str, ...]]) -> None:
    assert [record.cells for record in split(text)] == rows


def test_an_inch_mark_in_a_bare_cell_is_kept() -> None:
    assert split('H-1,16\'2",34 1/2"\n')[0].cells == ("H-1", "16'2\"", '34 1/2"')


def test_a_record_knows_the_line_on_which_it_begins() -> None:
    assert [record.line for record in split('a,"1\n2\n3"\nb,4\n')] == [1, 4]


@pytest.mark.parametrize("bad", ['H-1,"16\'2"",34 in', 'H-1,"16\'2"x,34 in', 'H-1,"never closed'])
def test_marks_that_do_not_match_up_cost_their_own_line_and_no_other(bad: str) -> None:
    first, second, third = split(f'{bad}\nH-2,"two\nlines",x\nH-3,a,b\n')
    assert "quotation marks" in first.reason
    assert (second.line, second.cells) == (2, ("H-2", "two\nlines", "x"))
    assert (third.line, third.cells) == (4, ("H-3", "a", "b"))


def test_a_mark_that_is_never_closed_does_not_swallow_a_long_file() -> None:
    found = split('H-0,"never closed\n' + "".join(f"H-{n},x\n" for n in range(1, MAX_LINES * 3)))
    assert [bool(record.reason) for record in found] == [True] + [False] * (MAX_LINES * 3 - 1)


def test_a_cell_may_hold_many_lines_but_not_any_number() -> None:
    assert len(split('a,"' + "line\n" * (MAX_LINES - 1) + '"\n')) == 1
    assert split('a,"' + "line\n" * MAX_LINES + '"\n')[0].reason


def test_an_endless_line_is_a_problem_of_its_own() -> None:
    long, after = split("x" * (MAX_LINE + 1) + "\nH-2,x\n")
    assert long.reason == "The row is too long."
    assert after.cells == ("H-2", "x")

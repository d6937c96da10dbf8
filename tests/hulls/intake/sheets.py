"""Sheets for the tests: a file from lines, and what comes out of it."""

import io
from datetime import date
from pathlib import Path

from hulls.intake import DateOrder, HullRow, RowProblem, open_sheet

DATA = Path(__file__).parent / "data"
TODAY = date(2026, 7, 1)
HEADER = "tag,owner,length,beam,depth,end depth"


def a_file(*lines: str, encoding: str = "utf-8", ends: str = "\n") -> io.BytesIO:
    """A CSV file of these lines."""
    return io.BytesIO("".join(f"{line}{ends}" for line in lines).encode(encoding))


def read(file: io.BytesIO, date_order: DateOrder | None = None) -> tuple[list[HullRow], list[RowProblem]]:
    """The hulls and the problems of a file."""
    found = list(open_sheet(file).rows(today=TODAY, date_order=date_order))
    return [one for one in found if isinstance(one, HullRow)], [one for one in found if isinstance(one, RowProblem)]


def a_hull_with(column: str, cell: str) -> io.BytesIO:
    """A file of one sound hull with one more column."""
    quoted = cell.replace('"', '""')
    return a_file(f"{HEADER},{column}", f'H-1,Ann Teller,16 ft,34 in,12 in,24 in,"{quoted}"')

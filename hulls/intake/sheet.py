"""A CSV file of hulls, opened: what it is made of, and its rows one after the other."""

import csv
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import BinaryIO

from django.utils.translation import gettext as _

from hulls.intake.columns import Column, columns_of, delimiter_of
from hulls.intake.dates import DateOrder
from hulls.intake.reading import RowReader
from hulls.intake.records import Record, records
from hulls.intake.rows import HullRow, IntakeError, RowProblem
from hulls.intake.source import Lines, encoding_of

MOST_TITLE = 60

# Some spreadsheets write this line first, for themselves.
_NAMED_DELIMITER = re.compile(r"\ufeff?sep=([,;\t])\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class HullSheet:
    """A sheet whose first line could be read.

    Parameters
    ----------
    encoding
        How its characters are written, by Python's name.
    delimiter
        What stands between its cells.
    titles
        The cells of its header.
    columns
        What each of them holds, None for one that nobody knows.
    size
        Bytes in the file.
    """

    file: BinaryIO
    encoding: str
    delimiter: str
    titles: tuple[str, ...]
    columns: tuple[Column | None, ...]
    size: int

    @property
    def unknown(self) -> tuple[str, ...]:
        """Titles of the columns that are left aside."""
        return tuple(title for title, column in zip(self.titles, self.columns, strict=True) if column is None and title)

    def title_of(self, field: str) -> str:
        """What the file calls the column of a field; the field's own name where it has none."""
        return next((column.title for column in self.columns if column is not None and column.field == field), field)

    @property
    def bytes_read(self) -> int:
        """How far reading has come, for a progress bar."""
        return self.file.tell()

    def rows(self, *, today: date, date_order: DateOrder | None = None) -> Iterator[HullRow | RowProblem]:
        """Read the rows; calling it again reads them from the beginning.

        Parameters
        ----------
        today
            The day of reading.
        date_order
            The order of dates that are not ISO.

        Yields
        ------
        HullRow or RowProblem
            A hull for each good row, one problem after the other for each bad one. Beyond the row in hand only the
            tags are kept in memory.
        """
        reader = RowReader(columns=self.columns, date_order=date_order, today=today)
        with _text(self.file, self.encoding) as text:
            found = _numbered(_records(text, self.delimiter))
            next(found)
            for row, record in found:
                outcome = reader.read(record, row)
                if isinstance(outcome, HullRow):
                    yield outcome
                else:
                    yield from outcome


def open_sheet(file: BinaryIO) -> HullSheet:
    """Open a CSV file of hulls: find its encoding and delimiter, and read its header.

    Parameters
    ----------
    file
        A binary file that can be read from its beginning more than once; it stays open and is the caller's to close.

    Returns
    -------
    HullSheet
        The sheet.

    Raises
    ------
    IntakeError
        The file is empty or no text, its encoding is none that is known, or a column that every hull needs is missing.
    """
    encoding = encoding_of(file)
    size = file.seek(0, io.SEEK_END)
    with _text(file, encoding) as text:
        delimiter = _delimiter(text)
    with _text(file, encoding) as text:
        header = next(_numbered(_records(text, delimiter)), None)
    if header is None:
        raise IntakeError(_("The file is empty."))
    if header[1].reason:
        raise IntakeError(_("The first line cannot be read. %(reason)s") % {"reason": header[1].reason})
    titles = tuple(_plain(title) for title in header[1].cells)
    return HullSheet(
        file=file, encoding=encoding, delimiter=delimiter, titles=titles, columns=columns_of(titles), size=size
    )


def _plain(title: str) -> str:
    # Titles are shown beside problems, on a terminal too: nothing in them may steer it.
    printable = "".join(char if char.isprintable() else " " for char in title)
    return " ".join(printable.split())[:MOST_TITLE]


@contextmanager
def _text(file: BinaryIO, encoding: str) -> Iterator[io.TextIOWrapper]:
    file.seek(0)
    text = io.TextIOWrapper(file, encoding=encoding, newline="")
    try:
        yield text
    finally:
        text.detach()  # or the file would be closed with the wrapper


def _delimiter(text: io.TextIOWrapper) -> str:
    for line in Lines(text):
        if match := _NAMED_DELIMITER.fullmatch(line.text):
            return match[1]
        if line.text.strip():
            return _of_header(line.text)
    raise IntakeError(_("The file is empty."))


def _of_header(line: str) -> str:
    try:
        return delimiter_of(line)
    except csv.Error:
        raise IntakeError(_("The first line cannot be read.")) from None


def _records(text: io.TextIOWrapper, delimiter: str) -> Iterator[Record]:
    lines = Lines(text)
    first = next(iter(lines), None)
    if first is not None and not _NAMED_DELIMITER.fullmatch(first.text):
        lines.put_back([first])
    return records(lines, delimiter)


def _numbered(found: Iterator[Record]) -> Iterator[tuple[int, Record]]:
    """Count the rows as a spreadsheet does, blank ones too, and leave those out."""
    for row, record in enumerate(found, start=1):
        if record.reason or any(cell.strip() for cell in record.cells):
            yield row, record

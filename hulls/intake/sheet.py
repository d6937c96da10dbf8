"""A CSV file of hulls, opened: what it is made of, and its rows one after the other."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import BinaryIO

from django.utils.translation import gettext as _

from hulls.intake.columns import Column, columns_of, delimiter_of
from hulls.intake.reading import RowReader
from hulls.intake.rows import HullRow
from shop.sheets.dates import DateOrder
from shop.sheets.problems import RowProblem, SheetError
from shop.sheets.source import Lines, encoding_of
from shop.sheets.text import named_delimiter, numbered, opened, plain_title, records_of


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
        with opened(self.file, self.encoding) as text:
            found = numbered(records_of(text, self.delimiter))
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
    SheetError
        The file is empty or no text, its encoding is none that is known, or a column that every hull needs is missing.
    """
    encoding = encoding_of(file)
    size = file.seek(0, io.SEEK_END)
    with opened(file, encoding) as text:
        delimiter = _delimiter(text)
    with opened(file, encoding) as text:
        header = next(numbered(records_of(text, delimiter)), None)
    if header is None:
        raise SheetError(_("The file is empty."))
    if header[1].reason:
        raise SheetError(_("The first line cannot be read. %(reason)s") % {"reason": header[1].reason})
    titles = tuple(plain_title(title) for title in header[1].cells)
    return HullSheet(
        file=file, encoding=encoding, delimiter=delimiter, titles=titles, columns=columns_of(titles), size=size
    )


def _delimiter(text: io.TextIOWrapper) -> str:
    for line in Lines(text):
        if named := named_delimiter(line.text):
            return named
        if line.text.strip():
            return _of_header(line.text)
    raise SheetError(_("The file is empty."))


def _of_header(line: str) -> str:
    try:
        return delimiter_of(line)
    except csv.Error:
        raise SheetError(_("The first line cannot be read.")) from None

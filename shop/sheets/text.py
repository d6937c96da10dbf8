"""From an open file to its numbered rows of cells, and the words above them made fit to show."""

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

from shop.sheets.records import Record, records
from shop.sheets.source import Lines

MOST_TITLE = 60

# Some spreadsheets write this line first, for themselves.
_NAMED_DELIMITER = re.compile(r"\ufeff?sep=([,;\t])\s*", re.IGNORECASE)


@contextmanager
def opened(file: BinaryIO, encoding: str) -> Iterator[io.TextIOWrapper]:
    """Read a file as text from its beginning; it stays open and is the caller's to close."""
    file.seek(0)
    text = io.TextIOWrapper(file, encoding=encoding, newline="")
    try:
        yield text
    finally:
        text.detach()  # or the file would be closed with the wrapper


def named_delimiter(line: str) -> str | None:
    """The delimiter that a line of a spreadsheet's own names (``sep=;``); None where it is no such line."""
    match = _NAMED_DELIMITER.fullmatch(line)
    return match[1] if match else None


def records_of(text: io.TextIOWrapper, delimiter: str) -> Iterator[Record]:
    """Split a text into its rows of cells, a line that only names the delimiter left out."""
    lines = Lines(text)
    first = next(iter(lines), None)
    if first is not None and not named_delimiter(first.text):
        lines.put_back([first])
    return records(lines, delimiter)


def numbered(found: Iterator[Record]) -> Iterator[tuple[int, Record]]:
    """Count the rows as a spreadsheet does, blank ones too, and leave those out."""
    for row, record in enumerate(found, start=1):
        if record.reason or any(cell.strip() for cell in record.cells):
            yield row, record


def plain_title(title: str) -> str:
    """A title fit to show beside a problem, on a terminal too: nothing in it may steer it."""
    printable = "".join(char if char.isprintable() else " " for char in title)
    return " ".join(printable.split())[:MOST_TITLE]

"""From lines to rows of cells, by Python's csv, kept from swallowing rows after a stray quotation mark."""

import csv
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from shop.sheets.source import Line, Lines

MAX_LINES = 60


@dataclass(frozen=True, slots=True)
class Record:
    """One row of cells; no cells at all in a row that could not be split, and then a reason."""

    line: int
    cells: tuple[str, ...]
    reason: str = ""


class _TooLong(Exception):
    """A row that goes on for longer than any true one."""


def records(lines: Lines, delimiter: str) -> Iterator[Record]:
    """Split lines into rows of cells.

    A cell in quotation marks may hold line breaks. Where the marks of a row do not match up, that line alone is
    given up, with a reason, and reading goes on at the next line.

    Parameters
    ----------
    lines
        The lines of the file.
    delimiter
        What stands between cells.

    Yields
    ------
    Record
        Each row in turn, blank ones included.
    """
    while True:
        taken: list[Line] = []
        try:
            cells = next(csv.reader(_feed(lines, taken), delimiter=delimiter, strict=True))
        except StopIteration:
            return
        except _TooLong:
            reason = _("The row is too long.") if len(taken) == 1 else _quotation_marks()
            yield _given_up(lines, taken, reason)
        except csv.Error:
            yield _given_up(lines, taken, _quotation_marks())
        else:
            yield Record(taken[0].number, tuple(cells))


def _feed(lines: Lines, taken: list[Line]) -> Iterator[str]:
    for line in lines:
        taken.append(line)
        if not line.whole or len(taken) > MAX_LINES:
            raise _TooLong
        yield line.text


def _given_up(lines: Lines, taken: list[Line], reason: str) -> Record:
    first, *rest = taken
    lines.put_back(rest)
    return Record(first.number, (), reason)


def _quotation_marks() -> str:
    return _(
        "The quotation marks of this row do not match up. A cell that begins with one must end with one, "
        "and an inch mark inside it is written twice."
    )

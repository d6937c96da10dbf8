"""A table of offsets or of taped stations, read from a file or from what was pasted."""

import csv
import io
from collections.abc import Iterator
from itertools import islice
from typing import BinaryIO

from django.utils.translation import gettext as _

from hulls.lines import LinesError, Offsets, Taped
from hulls.offsets.cells import read_cell
from hulls.offsets.columns import Column, columns_of, delimiter_of
from hulls.offsets.kept import Lines
from hulls.offsets.loft_table import is_loft_table, read_loft_table
from shop.sheets.problems import CellProblem, RowProblem, SheetError
from shop.sheets.records import Record
from shop.sheets.source import Lines as SourceLines
from shop.sheets.source import encoding_of
from shop.sheets.text import named_delimiter, numbered, opened, records_of

LOOKED_AT = 20  # lines, for what stands between the cells

Numbers = dict[str, float | None]


class TableError(ValueError):
    """A table of which some rows cannot be read, each with its reason."""

    def __init__(self, problems: list[RowProblem]) -> None:
        super().__init__(_("Some rows of the table cannot be read."))
        self.problems = sorted(problems, key=lambda problem: problem.row)


def read_table(file: BinaryIO) -> Lines:
    """Read a table.

    Parameters
    ----------
    file
        Text with a first line that names its columns, one row a point (station, height, half-breadth) or one row a
        taped station (station, girth, half-breadth, of which one may be left empty); or laid out for the loft, with
        waterlines, buttocks, sheer and keel down or across and the stations the other way. Metres, another unit named
        above the column, feet-inches-eighths, or a unit in each cell.

    Returns
    -------
    Offsets or tuple of Taped

    Raises
    ------
    SheetError
        The file is no table of either kind, or its numbers together are no hull's.
    TableError
        Rows cannot be read.
    """
    rows = list(_rows(file))
    if is_loft_table(rows):
        return _of_the_loft(rows)
    columns = columns_of(tuple(title.strip() for title in rows[0][1].cells)) if rows else ()
    if len(rows) < 2:
        raise SheetError(_("There are no rows under the first line."))
    problems: list[RowProblem] = []
    read = [_numbers(record, row, columns, problems) for row, record in rows[1:]]
    named = {column.field for column in columns if column is not None}
    try:
        if "height" in named:
            if problems:
                raise TableError(problems)
            return Offsets.of_points((_is(n["station"]), _is(n["height"]), _is(n["half_breadth"])) for n in read)
        taped = _taped(read, [row for row, _ in rows[1:]], [record for _, record in rows[1:]], problems)
    except LinesError as error:
        raise SheetError(error.message) from None
    if problems:
        raise TableError(problems)
    return taped


def _of_the_loft(rows: list[tuple[int, Record]]) -> Offsets:
    problems = [_unread(record, row) for row, record in rows if record.reason]
    try:
        offsets, found = read_loft_table(rows) if not problems else (None, problems)
    except LinesError as error:
        raise SheetError(error.message) from None
    if offsets is None:
        raise TableError(found)
    return offsets


def read_text(text: str) -> Lines:
    """Read a table that was pasted; as `read_table`."""
    return read_table(io.BytesIO(text.encode()))


def _rows(file: BinaryIO) -> Iterator[tuple[int, Record]]:
    encoding = encoding_of(file)
    with opened(file, encoding) as text:
        delimiter = _delimiter(text)
    with opened(file, encoding) as text:
        yield from numbered(records_of(text, delimiter))


def _delimiter(text: io.TextIOWrapper) -> str:
    first = [line.text for line in islice((line for line in SourceLines(text) if line.text.strip()), LOOKED_AT)]
    try:
        if first:
            return named_delimiter(first[0]) or delimiter_of(first)
    except csv.Error:
        pass
    raise SheetError(_("The first line cannot be read."))


def _numbers(record: Record, row: int, columns: tuple[Column | None, ...], problems: list[RowProblem]) -> Numbers:
    """Read one row; what is wrong with it is put to the problems."""
    if record.reason:
        problems.append(_unread(record, row))
        return {}
    may_be_empty = {"girth", "half_breadth"} if any(c and c.field == "girth" for c in columns) else set()
    found: Numbers = {}
    for column, raw in zip(columns, (*record.cells, *[""] * len(columns)), strict=False):
        if column is None:
            continue
        try:
            if raw.strip():
                found[column.field] = read_cell(raw.strip(), column)
            elif column.field in may_be_empty:
                found[column.field] = None
            else:
                raise CellProblem(_("This must be filled in."))
        except CellProblem as problem:
            problems.append(RowProblem(row=row, line=record.line, column=column.title, reason=str(problem)))
    return found


def _unread(record: Record, row: int) -> RowProblem:
    return RowProblem(row=row, line=record.line, column="", reason=record.reason)


def _taped(read: list[Numbers], at: list[int], records: list[Record], problems: list[RowProblem]) -> tuple[Taped, ...]:
    found = []
    wrong = {problem.row for problem in problems}
    for numbers, row, record in zip(read, at, records, strict=True):
        if row in wrong:
            continue
        try:
            found.append(
                Taped(
                    x_m=_is(numbers["station"]),
                    girth_m=numbers.get("girth"),
                    half_breadth_m=numbers.get("half_breadth"),
                )
            )
        except LinesError as error:
            problems.append(RowProblem(row=row, line=record.line, column=error.field, reason=error.message))
    return tuple(found)


def _is(number: float | None) -> float:
    assert number is not None
    return number

"""A table of offsets or of taped stations, read from a file or from what was pasted."""

import csv
import io
from collections.abc import Iterator
from itertools import islice
from typing import BinaryIO

from django.utils.translation import gettext as _

from hulls.lines import LinesError, Offsets, Taped
from hulls.lines.offsets import MOST_POINTS
from hulls.offsets.cells import read_cell
from hulls.offsets.columns import Column, columns_of, delimiter_of
from hulls.offsets.kept import Lines
from hulls.offsets.loft_table import is_loft_table, read_loft_table
from hulls.offsets.width import too_wide
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
    rows = list(islice(_rows(file), MOST_POINTS + 2))  # the line of titles, and one that is too many
    if len(rows) > MOST_POINTS + 1:
        raise SheetError(_("The table has more than %(most)d points.") % {"most": MOST_POINTS})
    try:
        return _of_the_loft(rows) if is_loft_table(rows) else _of_rows(rows)
    except LinesError as error:
        raise SheetError(error.message) from None


def _of_rows(rows: list[tuple[int, Record]]) -> Lines:
    columns = columns_of(tuple(title.strip() for title in rows[0][1].cells)) if rows else ()
    if len(rows) < 2:
        raise SheetError(_("There are no rows under the first line."))
    problems: list[RowProblem] = []
    read = [(row, record, _numbers(record, row, columns, problems)) for row, record in rows[1:]]
    if not any(column is not None and column.field == "height" for column in columns):
        return _taped(read, problems)
    if problems:
        raise TableError(problems)
    return Offsets.of_points((_is(n["station"]), _is(n["height"]), _is(n["half_breadth"])) for _row, _record, n in read)


def _of_the_loft(rows: list[tuple[int, Record]]) -> Offsets:
    problems = [_unread(record, row) for row, record in rows if record.reason]
    offsets, found = read_loft_table(rows) if not problems else (None, problems)
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
    if problem := too_wide(record, row, len(columns)):
        problems.append(problem)
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


def _taped(read: list[tuple[int, Record, Numbers]], problems: list[RowProblem]) -> tuple[Taped, ...]:
    found = []
    wrong = {problem.row for problem in problems}
    for row, record, numbers in read:
        if row in wrong:
            continue
        x_m, girth_m, half_breadth_m = (numbers.get(field) for field in ("station", "girth", "half_breadth"))
        try:
            found.append(Taped(x_m=_is(x_m), girth_m=girth_m, half_breadth_m=half_breadth_m))
        except LinesError as error:
            problems.append(RowProblem(row=row, line=record.line, column=error.field, reason=error.message))
    if problems:
        raise TableError(problems)
    return tuple(found)


def _is(number: float | None) -> float:
    assert number is not None
    return number

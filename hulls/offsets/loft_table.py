"""A table as it is laid out for the loft: a line a row and a station a column, or the other way about."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _

from hulls.lines import Offsets
from hulls.offsets.cells import read_cell, read_name
from hulls.offsets.columns import Column
from hulls.offsets.named_lines import NamedLine, Tells, is_heading, is_line, line_of, tells_of, unit_of
from hulls.offsets.section_points import LineProblem, Told, points_of
from hulls.offsets.width import too_wide, width_of
from shop.sheets.problems import CellProblem, RowProblem, SheetError
from shop.sheets.records import Record
from shop.units import LengthUnit

NONE = frozenset({"", "-", "–", "—", "−", "x", ".", "..", "...", "…"})  # a line that does not reach that station
MOST_LINES = 120  # far beyond a true table's: each buttock is compared with each waterline
DIAGONAL = re.compile(r"diag", re.IGNORECASE)  # tells the same hull once more
_PLACES = re.compile(r"(?:distance|place|from (?:the )?(?:bow|end|f\.?p\.?|stem))\b.*", re.IGNORECASE)
_SPACING = re.compile(r"(?:station )?spacing\b.*", re.IGNORECASE)
_CORNER = re.compile(r"(?:stations?|sta\.?|lines?)?(?:\s*[(\[][a-z]{1,2}\.?[)\]]|_[a-z]{1,2})?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The cells with a line a row, whichever way the file has them.

    Parameters
    ----------
    cells : tuple of tuple of str
        The stations' names first, then the lines.
    labels : int
        How many columns name the line.
    rows, at : tuple of int
        Row and line of the file, for each line or, where `turned`, for each column.
    turned : bool
        Whether the file has a station a row.
    """

    cells: tuple[tuple[str, ...], ...]
    labels: int
    rows: tuple[int, ...]
    at: tuple[int, ...]
    turned: bool

    def problem(self, line: int, column: int, reason: str) -> RowProblem:
        """Say what is wrong with a cell, by the row and the column that the file has."""
        place = column if self.turned else line
        title = self.title(line) if self.turned else self.cells[0][column]
        return RowProblem(row=self.rows[place], line=self.at[place], column=title, reason=reason)

    def title(self, line: int) -> str:
        """What stands beside the cells of a line."""
        return " ".join(filter(None, self.cells[line][: self.labels]))


def is_loft_table(rows: Sequence[tuple[int, Record]]) -> bool:
    """Whether rows or columns are named like lines of a hull."""
    return max(_lines_down(rows), _lines_across(rows)) >= 2


def read_loft_table(rows: Sequence[tuple[int, Record]]) -> tuple[Offsets | None, list[RowProblem]]:
    """Read a table of heights and half-breadths along named lines.

    Parameters
    ----------
    rows
        Of the file, with their numbers.

    Returns
    -------
    tuple of Offsets and list of RowProblem
        The table where there is no problem.

    Raises
    ------
    SheetError
        It is not said where the stations stand, or there are more lines than any hull's.
    LinesError
        The numbers together are no hull's.
    """
    if max(_lines_down(rows), _lines_across(rows)) > MOST_LINES:
        raise SheetError(_("A hull has %(most)d lines at most here.") % {"most": MOST_LINES})
    turned = _lines_across(rows) > _lines_down(rows)
    wide = _too_wide(rows, rows[_titles_at(rows, turned=turned)][1])
    if wide:
        return None, wide
    grid = _turned(rows) if turned else _as_it_is(rows)
    unit = unit_of(" ".join(grid.cells[0][: grid.labels]).strip())
    problems: list[RowProblem] = []
    lines = _lines(grid, unit, problems)
    places = _places(grid, unit, problems)
    points: list[tuple[float, float, float]] = []
    for column, x_m in places.items():
        wrong = len(problems)
        told = [t for line, named in lines if (t := _told(grid, line, column, named, unit, problems))]
        if len(problems) > wrong:
            continue
        try:
            points += [(x_m, *point) for point in points_of(told)]
        except LineProblem as problem:
            problems.append(grid.problem(problem.row, column, str(problem)))
    return (None if problems else Offsets.of_points(points)), problems


def _lines_down(rows: Sequence[tuple[int, Record]]) -> int:
    return sum(any(is_line(cell) for cell in record.cells[:2]) for __, record in rows)


def _lines_across(rows: Sequence[tuple[int, Record]]) -> int:
    return max((sum(map(is_line, record.cells[1:])) for __, record in rows[:4]), default=0)


def _as_it_is(rows: Sequence[tuple[int, Record]]) -> Grid:
    """Put the row that names the stations first."""
    first = _titles_at(rows, turned=False)
    return _grid([rows[first], *rows[:first], *rows[first + 1 :]], turned=False)


def _titles_at(rows: Sequence[tuple[int, Record]], *, turned: bool) -> int:
    """Which row stands above the columns: that of the lines' names, or that of the stations'."""
    if turned:
        return max(range(len(rows[:4])), key=lambda n: sum(map(is_line, rows[n][1].cells[1:])))
    named = (n for n, (__, record) in enumerate(rows) if record.cells[0].casefold().strip().startswith("sta"))
    first = next(named, None)
    if first is None or len(_filled(rows[first][1])) < 3:
        first = next((n for n, (__, record) in enumerate(rows) if len(_filled(record)) > 2), 0)
    return first


def _too_wide(rows: Sequence[tuple[int, Record]], titles: Record) -> list[RowProblem]:
    found = (too_wide(record, row, width_of(titles)) for row, record in rows)
    return [problem for problem in found if problem is not None]


def _turned(rows: Sequence[tuple[int, Record]]) -> Grid:
    """Leave notes out, and turn the table so that each of its columns is a row."""
    return _grid([(row, record) for row, record in rows if len(_filled(record)) > 1], turned=True)


def _grid(rows: Sequence[tuple[int, Record]], *, turned: bool) -> Grid:
    width = max(len(record.cells) for __, record in rows)
    cells = tuple(tuple(cell.strip() for cell in (*r.cells, *[""] * (width - len(r.cells)))) for __, r in rows)
    if turned:
        cells = tuple(zip(*cells, strict=True))
    labels = next((n for n, cell in enumerate(cells[0]) if not _CORNER.fullmatch(cell)), len(cells[0]))
    numbers, at = tuple(row for row, __ in rows), tuple(record.line for __, record in rows)
    return Grid(cells=cells, labels=max(labels, 1), rows=numbers, at=at, turned=turned)


def _filled(record: Record) -> list[str]:
    return [cell for cell in record.cells if cell.strip()]


def _lines(grid: Grid, unit: LengthUnit | None, problems: list[RowProblem]) -> list[tuple[int, NamedLine]]:
    found: list[tuple[int, NamedLine]] = []
    heading: Tells | None = None
    for line in range(1, len(grid.cells)):
        title, first = grid.title(line), grid.cells[line][0]
        heading = tells_of(first) if is_heading(first) else heading
        empty = all(cell in NONE for cell in grid.cells[line][grid.labels :])
        if empty or DIAGONAL.search(title) or _PLACES.fullmatch(title) or _SPACING.fullmatch(title):
            continue
        try:
            named = line_of(title, heading, unit)
            if any((n.kind, n.tells, n.at_m) == (named.kind, named.tells, named.at_m) for __, n in found):
                raise CellProblem(_("This line stands in the table twice."))
            found.append((line, named))
        except CellProblem as problem:
            reason = f"{title}: {problem}"
            place = grid.labels - 1 if grid.turned else line
            problems.append(RowProblem(row=grid.rows[place], line=grid.at[place], column=title, reason=reason))
    return found


def _places(grid: Grid, unit: LengthUnit | None, problems: list[RowProblem]) -> dict[int, float]:
    """Where each station stands, by its column: in a row of its own, by their spacing, or in their names."""
    columns = [n for n in range(grid.labels, len(grid.cells[0])) if any(line[n].strip() for line in grid.cells)]
    given = {line: grid.title(line) for line in range(1, len(grid.cells))}
    own = next((line for line, title in given.items() if _PLACES.fullmatch(title)), None)
    even = next((line for line, title in given.items() if _SPACING.fullmatch(title)), None)
    step = 1.0
    if own is None and even is not None:
        step = _read(grid, even, grid.labels, unit, problems) or 0.0
        if step <= 0 and not problems:
            problems.append(
                grid.problem(even, grid.labels, _("The stations stand apart: this must be more than zero."))
            )
    elif own is None and _counted([grid.cells[0][n] for n in columns]):
        raise SheetError(
            _("Say where the stations stand: a row “From end” with a length for each, or “Station spacing” with one.")
        )
    found = {}
    for column in columns:
        if even is not None and own is None:
            place = _number(grid, column, problems)
        else:
            place = _read(grid, own or 0, column, unit, problems)
        if place is not None:
            found[column] = place * step
    return found


def _counted(names: Sequence[str]) -> bool:
    """Whether stations are numbered one by one, which is no length."""
    if not all(name.isdigit() for name in names):
        return False
    return all(abs(int(a) - int(b)) == 1 for a, b in pairwise(names))


def _number(grid: Grid, column: int, problems: list[RowProblem]) -> float | None:
    try:
        return float(grid.cells[0][column])
    except ValueError:
        problems.append(grid.problem(0, column, _("A station that has a spacing needs a number for its name.")))
        return None


def _read(grid: Grid, line: int, column: int, unit: LengthUnit | None, problems: list[RowProblem]) -> float | None:
    text, title = grid.cells[line][column], grid.title(line)
    try:
        return read_name(text, title, unit) if line == 0 else read_cell(text, Column(field="", title=title, unit=unit))
    except CellProblem as problem:
        problems.append(grid.problem(line, column, str(problem)))
        return None


def _told(
    grid: Grid, line: int, column: int, named: NamedLine, unit: LengthUnit | None, problems: list[RowProblem]
) -> Told | None:
    if grid.cells[line][column] in NONE:
        return None
    value = _read(grid, line, column, unit, problems)
    return None if value is None else Told(line=named, value_m=value, row=line)

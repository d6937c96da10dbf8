"""What can be wrong with a sheet, a row of it, a cell of it."""

from dataclasses import dataclass


class SheetError(ValueError):
    """A file of which no row can be read; its message is a sentence for the person who sent it."""


class CellProblem(ValueError):
    """Why one cell cannot be taken; its message is a sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowProblem:
    """One reason why a row cannot be taken in; a row has as many of these as it has reasons.

    Parameters
    ----------
    row
        Row as a spreadsheet counts it: the header is row 1.
    line
        Line of the file on which the row begins.
    column
        Name of the column as the file writes it; empty where the whole row is meant.
    reason
        A sentence.
    """

    row: int
    line: int
    column: str
    reason: str

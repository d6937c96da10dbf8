"""Hulls in from a spreadsheet: a CSV file, of which each row is a hull or the list of what is wrong with it."""

from hulls.intake.dates import DateOrder
from hulls.intake.rows import HullRow, IntakeError, RowProblem
from hulls.intake.sheet import HullSheet, open_sheet

__all__ = ["DateOrder", "HullRow", "HullSheet", "IntakeError", "RowProblem", "open_sheet"]

"""Hulls in from a spreadsheet: a CSV file, of which each row is a hull or the list of what is wrong with it."""

from hulls.intake.rows import HullRow
from hulls.intake.sheet import HullSheet, open_sheet
from shop.sheets.dates import DateOrder
from shop.sheets.problems import RowProblem, SheetError

__all__ = ["DateOrder", "HullRow", "HullSheet", "RowProblem", "SheetError", "open_sheet"]

"""Rows that hold more cells than the table has titles: most often decimal commas among commas between cells."""

from django.utils.translation import gettext as _

from shop.sheets.problems import RowProblem
from shop.sheets.records import Record


def width_of(record: Record) -> int:
    """How many cells a row has up to its last one that is not empty."""
    return max((at for at, cell in enumerate(record.cells, start=1) if cell.strip()), default=0)


def too_wide(record: Record, row: int, titles: int) -> RowProblem | None:
    """Say that a row has more cells than there are titles; None where it has not."""
    width = width_of(record)
    if width <= titles:
        return None
    reason = _(
        "This row has %(cells)d cells, but there are %(titles)d titles. If its numbers have decimal commas, like 0,5, "
        "those part each of them in two: write 0.5, or put semicolons between the cells."
    ) % {"cells": width, "titles": titles}
    return RowProblem(row=row, line=record.line, column="", reason=reason)

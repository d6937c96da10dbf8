"""From one row of cells to a hull, or to everything that is wrong with the row."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from hulls.intake import cells
from hulls.intake.colours import read_colour
from hulls.intake.columns import LENGTHS, REQUIRED, Column
from hulls.intake.days import wrong_days
from hulls.intake.dimensions import wrong_dimensions
from hulls.intake.rows import HullRow
from shop.sheets.dates import DateOrder, read_date
from shop.sheets.problems import CellProblem, RowProblem
from shop.sheets.records import Record

# What each field is called in a `HullRow`, where that is another word.
NAMES = {
    "length": "length_m",
    "beam": "beam_m",
    "depth": "depth_m",
    "end depth": "end_depth_m",
    "rocker": "rocker_m",
    "hull type": "hull_type",
    "boat name": "name",
    "inside varnish": "inside_varnish",
    "arrived": "arrived_on",
    "promised": "promised_on",
}
DAYS = ("arrived", "promised")
READERS: dict[str, Callable[[str], object]] = {
    "tag": cells.read_tag,
    "email": cells.read_email,
    "phone": cells.read_phone,
    "hull type": cells.read_hull_type,
    "filler": cells.read_filler,
    "inside varnish": cells.read_inside_varnish,
    "priority": cells.read_priority,
}


@dataclass(slots=True, kw_only=True)
class RowReader:
    """Reads the rows of one sheet, in order, remembering their tags.

    Parameters
    ----------
    columns
        The columns of the sheet, None for those that are left aside.
    date_order
        The order of dates that are not ISO; None takes ISO only.
    today
        The day of reading: no hull arrived after it, nor is one promised for a day ages ahead of it.
    """

    columns: tuple[Column | None, ...]
    date_order: DateOrder | None
    today: date
    _row_of_tag: dict[str, int] = field(default_factory=dict)

    def read(self, record: Record, row: int) -> HullRow | list[RowProblem]:
        """Read one row.

        Parameters
        ----------
        record
            Its cells.
        row
            Its number as a spreadsheet counts it.

        Returns
        -------
        HullRow or list of RowProblem
            The hull, or every reason why it cannot be taken in, in the order of the columns.
        """
        if record.reason:
            return [RowProblem(row=row, line=record.line, column="", reason=record.reason)]
        values: dict[str, Any] = {}
        wrong: dict[str, str] = {}
        for column, raw in zip(self.columns, (*record.cells, *[""] * len(self.columns)), strict=False):
            if column is not None:
                try:
                    values |= self._values(column, raw)
                except CellProblem as problem:
                    wrong[column.field] = str(problem)
        wrong |= self._wrong_together(values, row)
        problems = self._problems(record, row, wrong)
        return problems or HullRow(row=row, line=record.line, **values)

    def _values(self, column: Column, raw: str) -> dict[str, object]:
        text = cells.read_text(column.field, raw)
        name = NAMES.get(column.field, column.field)
        if not text and column.field in REQUIRED:
            raise CellProblem(_("This must be filled in."))
        if not text:
            return {}
        if column.field in LENGTHS:
            return {name: cells.read_length(text, column)}
        if column.field in DAYS:
            return {name: read_date(text, self.date_order)}
        if name == "colour":
            return dict(zip(("colour", "colour_name"), read_colour(text), strict=True))
        if name == "old colour":
            return {"old_colour": read_colour(text)[0]}
        return {name: READERS.get(column.field, str)(text)}

    def _wrong_together(self, values: dict[str, Any], row: int) -> dict[str, str]:
        fields = {NAMES[name]: name for name in LENGTHS}
        measured = {name: values[name] for name in fields if name in values}
        wrong = {fields[name]: reason for name, reason in wrong_dimensions(measured).items()}
        if tag := values.get("tag"):
            first = self._row_of_tag.setdefault(tag.casefold(), row)
            if first != row:
                wrong["tag"] = _("The tag %(tag)s stands in row %(row)d already.") % {"tag": tag, "row": first}
        days = wrong_days(values.get("arrived_on", self.today), values.get("promised_on"), self.today)
        return wrong | {field: days[NAMES[field]] for field in DAYS if NAMES[field] in days}

    def _problems(self, record: Record, row: int, wrong: dict[str, str]) -> list[RowProblem]:
        found = [
            RowProblem(row=row, line=record.line, column=column.title, reason=wrong[column.field])
            for column in self.columns
            if column is not None and column.field in wrong
        ]
        if any(cell.strip() for cell in record.cells[len(self.columns) :]):
            reason = _("The row has %(count)d cells, the first line names %(named)d columns.") % {
                "count": len(record.cells),
                "named": len(self.columns),
            }
            found.append(RowProblem(row=row, line=record.line, column="", reason=reason))
        return found

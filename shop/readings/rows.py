"""From one row of a logger's file to a reading, or to what is wrong with the row."""

import re
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from shop.readings.clock import WallClock
from shop.readings.columns import Columns, Field, Unit
from shop.readings.sample import CLOCK_SLACK, DECIMALS, Rain, ReadingError, Sample, celsius
from shop.readings.stamps import read_stamp
from shop.sheets.dates import DateOrder
from shop.sheets.problems import CellProblem, RowProblem
from shop.sheets.records import Record
from shop.units.errors import quoted

_NUMBER = re.compile(r"([-+]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)) ?(?:[°º˚*]|deg\.?)? ?([cf])?", re.IGNORECASE)
_PER_CENT = re.compile(r"([-+]?[0-9]+(?:[.,][0-9]*)?) ?%? ?(?:rh)?", re.IGNORECASE)
_DEPTH = re.compile(r"([-+]?[0-9]+(?:[.,][0-9]*)?) ?(mm|in|\")?", re.IGNORECASE)
_MM_AN_INCH = 25.4  # by definition
_FIELD_OF: dict[str, Field] = {"temp_c": "temp", "rh_pct": "rh", "surface_c": "surface", "at": "at", "rain_mm": "rain"}


@dataclass(frozen=True, slots=True, kw_only=True)
class FileReading:
    """A good row: air, rain, or both, with the number of its row and line."""

    row: int
    line: int
    at: datetime
    sample: Sample | None
    rain: Rain | None = None


@dataclass(slots=True, kw_only=True)
class RowReader:
    """Reads the rows of one file, in order.

    Parameters
    ----------
    columns : Columns
        The columns of the file.
    clock : WallClock
        For stamps that do not say their offset.
    date_order : DateOrder or None
        The order of dates that are not ISO; None takes ISO only.
    unit : str or None
        Unit of a temperature that says none itself, and stands under a title that says none.
    now : datetime
        The moment of reading: what comes after it has not happened.
    """

    columns: Columns
    clock: WallClock
    date_order: DateOrder | None
    unit: Unit | None
    now: datetime
    empty: int = 0
    _places: dict[Field, int] = field(init=False)

    def __post_init__(self) -> None:
        self._places = self.columns.fields

    def read(self, record: Record, row: int) -> FileReading | RowProblem | None:
        """Read one row; None for one that holds no reading: the title again, or an event that the logger noted."""
        if record.reason:
            return RowProblem(row=row, line=record.line, column="", reason=record.reason)
        cells = {f: record.cells[n].strip() if n < len(record.cells) else "" for f, n in self._places.items()}
        if not any(cells.get(name) for name in ("temp", "rh", "rain")):
            self.empty += 1
            return None
        if any(
            cells.get(name) == self.columns.titles[self._places[name]] for name in ("temp", "rain") if cells.get(name)
        ):
            return None
        try:
            return self._reading(cells, row, record.line)
        except _Bad as bad:
            return RowProblem(row=row, line=record.line, column=self._title(bad.field), reason=str(bad))

    def _reading(self, cells: dict[Field, str], row: int, line: int) -> FileReading:
        air = self._air(cells) if cells.get("temp") or cells.get("rh") else None
        rain_mm = self._depth(cells["rain"]) if cells.get("rain") else None
        stamp = self._stamp(cells)
        at = self.clock.moment(stamp, (air, rain_mm))
        if at > self.now + CLOCK_SLACK:
            raise _Bad("at", _("That time has not come yet."))
        try:
            sample = None if air is None else Sample(at=at, air_c=air[0], rh_pct=air[1], surface_c=air[2])
            rain = None if rain_mm is None else Rain(at=at, rain_mm=rain_mm)
        except ReadingError as error:
            raise _Bad(_FIELD_OF[error.field], error.message) from None
        return FileReading(row=row, line=line, at=at, sample=sample, rain=rain)

    def _air(self, cells: dict[Field, str]) -> tuple[float, float, float | None]:
        surface_c = self._celsius(cells, "surface") if cells.get("surface") else None
        return self._celsius(cells, "temp"), _per_cent(cells["rh"]), surface_c

    def _depth(self, text: str) -> float:
        match = _DEPTH.fullmatch(text)
        if match is None:
            raise _Bad("rain", _("%(typed)s is not an amount of rain.") % {"typed": quoted(text)})
        column = self.columns.columns[self._places["rain"]]
        unit = (match[2] or (column.depth if column else "mm")).casefold()
        times = 1.0 if unit == "mm" else _MM_AN_INCH
        return round(times * float(match[1].replace(",", ".")), DECIMALS)

    def _stamp(self, cells: dict[Field, str]) -> datetime:
        written = cells["at"] if "at" in cells else f"{cells['date']} {cells['time']}"
        try:
            return read_stamp(written, self.date_order)
        except CellProblem as problem:
            raise _Bad("at", str(problem)) from None

    def _celsius(self, cells: dict[Field, str], name: Field) -> float:
        match = _NUMBER.fullmatch(cells[name])
        if match is None:
            raise _Bad(name, _("%(typed)s is not a temperature.") % {"typed": quoted(cells[name])})
        column = self.columns.columns[self._places[name]]
        unit = (match[2] or "").casefold() or (column.unit if column else None) or self.unit
        if unit is None:
            raise _Bad(name, _("Neither the file nor the form says whether this is °C or °F."))
        value = float(match[1].replace(",", "."))
        return round(celsius(value) if unit == "f" else value, DECIMALS)

    def _title(self, name: Field) -> str:
        place = self._places.get(name, self._places.get("time"))
        return self.columns.titles[place] if place is not None else name


class _Bad(ValueError):
    """What is wrong with a row, and in which column."""

    def __init__(self, field: Field, message: str) -> None:
        super().__init__(message)
        self.field = field


def _per_cent(text: str) -> float:
    match = _PER_CENT.fullmatch(text)
    if match is None:
        raise _Bad("rh", _("%(typed)s is not a humidity in per cent.") % {"typed": quoted(text)})
    return round(float(match[1].replace(",", ".")), DECIMALS)


GAP = timedelta(hours=6)


@dataclass(slots=True, kw_only=True)
class Course:
    """How the readings of a file run through time.

    Parameters
    ----------
    first, last : datetime or None
        The earliest and the latest moment.
    backwards : int
        Readings that stand before one that is older, in a file that begins with the oldest.
    gaps : int
        Stretches of more than `GAP` without a reading, seen in the order of the file.
    longest : timedelta
        The longest of them.
    """

    first: datetime | None = None
    last: datetime | None = None
    backwards: int = 0
    gaps: int = 0
    longest: timedelta = timedelta(0)
    _before: datetime | None = None

    def see(self, at: datetime) -> None:
        """Take in the moment of one more reading."""
        if self._before is not None:
            step = at - self._before
            self.backwards += step < timedelta(0)
            if abs(step) > GAP:
                self.gaps += 1
                self.longest = max(self.longest, abs(step))
        self._before = at
        self.first = min(self.first or at, at)
        self.last = max(self.last or at, at)

"""A logger's CSV file, opened: where its readings begin, what its columns are, and its rows one after the other."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from itertools import islice
from typing import BinaryIO, cast

from django.utils.translation import gettext as _

from shop.models import Sensor
from shop.readings.clock import WallClock
from shop.readings.columns import DELIMITERS, Columns, Unit, check_columns, columns_of
from shop.readings.rows import Course, FileReading, RowReader
from shop.sheets.dates import DateOrder
from shop.sheets.problems import RowProblem, SheetError
from shop.sheets.records import records
from shop.sheets.source import Lines, encoding_of
from shop.sheets.text import numbered, opened, plain_title

MOST_LINES_BEFORE = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class HowToRead:
    """What a file does not say of itself.

    Parameters
    ----------
    zone : tzinfo
        The zone that the logger's clock is set to.
    date_order : DateOrder or None
        The order of day, month and year in stamps that are not ISO.
    unit : str or None
        ``c`` or ``f``, where the file says neither.
    """

    zone: tzinfo
    date_order: DateOrder | None = None
    unit: Unit | None = None


@dataclass(slots=True, kw_only=True)
class ReadingFile:
    """A file whose columns could be found.

    Parameters
    ----------
    encoding, delimiter : str
        How its characters are written, by Python's name, and what stands between its cells.
    columns : Columns
        What its columns hold.
    header : int
        The line that names them.
    size : int
        Bytes in the file.
    """

    file: BinaryIO
    encoding: str
    delimiter: str
    columns: Columns
    header: int
    size: int
    clock: WallClock | None = field(default=None, init=False)
    course: Course = field(default_factory=Course, init=False)
    empty: int = field(default=0, init=False)

    @property
    def bytes_read(self) -> int:
        """How far reading has come, for a progress bar."""
        return self.file.tell()

    @property
    def stamp_title(self) -> str:
        """What the file calls the column of its time stamps."""
        fields = self.columns.fields
        return self.columns.titles[fields["at"] if "at" in fields else fields["time"]]

    def rows(self, how: HowToRead, *, now: datetime) -> Iterator[FileReading | RowProblem]:
        """Read the rows; calling it again reads them from the beginning.

        Parameters
        ----------
        how : HowToRead
            What the file does not say of itself; a zone that stands above its time stamps counts before this one.
        now : datetime
            The moment of reading.

        Yields
        ------
        FileReading or RowProblem
            One for each row that holds a reading; nothing but the row in hand is kept in memory.
        """
        self.clock, self.course = WallClock(zone=self.columns.zone or how.zone), Course()
        reader = RowReader(columns=self.columns, clock=self.clock, date_order=how.date_order, unit=how.unit, now=now)
        with opened(self.file, self.encoding) as text:
            lines = Lines(text)
            for _line in islice(lines, self.header):
                pass
            for row, record in numbered(records(lines, self.delimiter)):
                found = reader.read(record, self.header + row)
                self.empty = reader.empty
                if isinstance(found, FileReading):
                    self.course.see(found.at)
                if found is not None:
                    yield found


def unit_of(sensor: Sensor) -> Unit | None:
    """The unit of a logger's files, where the shop said it."""
    return cast(Unit, sensor.unit) if sensor.unit else None


def open_readings(file: BinaryIO) -> ReadingFile:
    """Open a CSV file of readings: find its encoding, its delimiter, and the line that names its columns.

    Parameters
    ----------
    file : file
        A binary file that can be read from its beginning more than once; it stays open and is the caller's to close.

    Raises
    ------
    SheetError
        The file is empty or no text, or no line of its beginning names the columns of readings.
    """
    encoding = encoding_of(file)
    size = file.seek(0, io.SEEK_END)
    with opened(file, encoding) as text:
        header, delimiter, columns = _header(text)
    check_columns(columns)
    return ReadingFile(file=file, encoding=encoding, delimiter=delimiter, columns=columns, header=header, size=size)


def _header(text: io.TextIOWrapper) -> tuple[int, str, Columns]:
    """Find the line under which the most fields of a reading stand; the first of equals."""
    best: tuple[int, str, Columns] | None = None
    for line in islice(Lines(text), MOST_LINES_BEFORE):
        for delimiter in DELIMITERS:
            columns = columns_of(_titles(line.text, delimiter))
            if best is None or len(columns.missing) < len(best[2].missing):
                best = (line.number, delimiter, columns)
        if best is not None and not best[2].missing:
            break
    if best is None:
        raise SheetError(_("The file is empty."))
    return best


def _titles(line: str, delimiter: str) -> tuple[str, ...]:
    try:
        return tuple(plain_title(title) for title in next(csv.reader([line], delimiter=delimiter), []))
    except csv.Error:
        return ()

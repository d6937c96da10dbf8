"""A logger's file comes in: good rows by the thousand, each bad one told with its place."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import islice

from django.utils.translation import gettext as _

from shop.models import CrewMember, Sensor
from shop.readings.file import HowToRead, ReadingFile
from shop.readings.ingest import take_in
from shop.readings.rows import FileReading
from shop.sheets.problems import RowProblem, SheetError

AT_ONCE = 1000  # rows a transaction, so that nobody else waits for long
Watcher = Callable[[FileReading | RowProblem], None]


@dataclass(slots=True, kw_only=True)
class FileTaken:
    """What became of a file.

    Parameters
    ----------
    good, bad : int
        Rows that hold a reading, and rows with something wrong.
    recorded, repeated, flagged : int
        Readings that are new, that were on record already, and new ones that look wrong.
    empty : int
        Rows without temperature and humidity.
    twice, skipped : int
        Stamps from the hour that comes twice, and from the one that does not come, when the clocks change.
    backwards, gaps : int
        Readings older than the one in the row before, and stretches of hours without one.
    rain_left : int
        Rows whose rain was left aside, since their sensor is indoors.
    longest : timedelta
        The longest such stretch.
    first, last : datetime or None
        The earliest and the latest reading.
    """

    good: int = 0
    bad: int = 0
    recorded: int = 0
    repeated: int = 0
    flagged: int = 0
    empty: int = 0
    twice: int = 0
    skipped: int = 0
    backwards: int = 0
    gaps: int = 0
    rain_left: int = 0
    longest: timedelta = field(default=timedelta(0))
    first: datetime | None = None
    last: datetime | None = None


def take_in_file(
    *,
    file: ReadingFile,
    how: HowToRead,
    sensor: Sensor,
    by: CrewMember | None,
    now: datetime,
    watch: Watcher,
    check_only: bool = False,
) -> FileTaken:
    """Take in the readings of a file; a row that cannot be read is told and left out.

    A row whose moment is on record with another value counts as a bad one; the value on record stays.

    Parameters
    ----------
    file : ReadingFile
        The file, opened.
    how : HowToRead
        What it does not say of itself.
    sensor : Sensor
        The logger.
    by : CrewMember or None
        Who brings it.
    now : datetime
        The moment.
    watch : callable
        Is told of each row.
    check_only : bool
        Whether nothing is written at all.

    Raises
    ------
    SheetError
        There is nothing but rain in the file, and its sensor is indoors.
    """
    if file.columns.rain_alone and not sensor.zone.outdoors:
        words = _("There is only rain in this file, and it does not rain in the zone of %(sensor)s: %(zone)s.")
        raise SheetError(words % {"sensor": sensor, "zone": sensor.zone})
    taken = FileTaken()
    rows = _good(file.rows(how, now=now), taken, watch)
    while handful := list(islice(rows, AT_ONCE)):
        if not check_only:
            _write(handful, file, sensor, by, now, taken, watch)
    _note_course(file, taken)
    return taken


def _good(rows: Iterator[FileReading | RowProblem], taken: FileTaken, watch: Watcher) -> Iterator[FileReading]:
    last_bad = 0
    for found in rows:
        watch(found)
        if isinstance(found, FileReading):
            taken.good += 1
            yield found
        elif found.row != last_bad:
            last_bad = found.row
            taken.bad += 1


def _write(
    handful: list[FileReading],
    file: ReadingFile,
    sensor: Sensor,
    by: CrewMember | None,
    now: datetime,
    taken: FileTaken,
    watch: Watcher,
) -> None:
    outdoors = sensor.zone.outdoors
    air = [one for one in handful if one.sample is not None]
    rain = [one for one in handful if one.rain is not None and outdoors]
    taken.rain_left += 0 if outdoors else sum(one.rain is not None for one in handful)
    outcomes = take_in(
        sensor=sensor,
        now=now,
        air=[one.sample for one in air if one.sample],
        rain=[one.rain for one in rain if one.rain],
        by=by,
    )
    for outcome, rows in zip(outcomes, (air, rain), strict=True):
        taken.recorded += outcome.recorded
        taken.repeated += outcome.repeated
        taken.flagged += len(outcome.flagged)
        for index, reason in outcome.conflicts.items():
            one = rows[index]
            taken.good -= 1
            taken.bad += 1
            watch(RowProblem(row=one.row, line=one.line, column=file.stamp_title, reason=reason))


def _note_course(file: ReadingFile, taken: FileTaken) -> None:
    taken.empty = file.empty
    if file.clock is not None:
        taken.twice, taken.skipped = file.clock.twice, file.clock.skipped
    course = file.course
    taken.backwards, taken.gaps, taken.longest = course.backwards, course.gaps, course.longest
    taken.first, taken.last = course.first, course.last

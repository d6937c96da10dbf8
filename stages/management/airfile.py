"""The air of a room from a CSV file with the columns ``at,temp_c,rh_pct``."""

import csv
from array import array
from collections.abc import Iterator
from datetime import tzinfo
from pathlib import Path
from typing import TextIO

import numpy as np
from django.utils.translation import gettext as _

from shop.readings.clock import WallClock
from stages.engine.air import check_air
from stages.engine.airlog import AirLog, seconds_of
from stages.engine.errors import EngineError
from stages.management.writing import stamp

COLUMNS = ("at", "temp_c", "rh_pct")
LONGEST_LINE = 10_000  # letters; nothing longer is a reading, and a file without line ends is not taken in whole


class AirFileError(ValueError):
    """A file that cannot be read as the air of a room, with the line where it went wrong."""


def read_air(path: Path, written_in: tzinfo) -> AirLog:
    """Read a log from a file.

    Parameters
    ----------
    path : Path
        CSV file, UTF-8, with a heading; other columns are left aside.
    written_in : tzinfo
        Time zone of moments without an offset; the order of the rows tells the hour that comes twice in autumn.

    Returns
    -------
    AirLog
        The log; readings in any order, duplicates dropped.

    Raises
    ------
    AirFileError
        Not such a file, or a reading that cannot be.
    """
    seconds, air_c, rh_pct = array("d"), array("d"), array("d")
    try:
        if path.exists() and not path.is_file():  # a pipe would be waited for, and a device never ends
            raise AirFileError(_("%(file)s is not a file.") % {"file": path})
        with path.open(encoding="utf-8-sig", newline="") as file:
            for reading in _readings(csv.DictReader(_lines(file)), written_in):
                for column, value in zip((seconds, air_c, rh_pct), reading, strict=True):
                    column.append(value)
    except OSError as error:
        raise AirFileError(_("%(file)s cannot be read: %(why)s") % {"file": path, "why": error.strerror}) from error
    except (UnicodeDecodeError, csv.Error) as error:
        raise AirFileError(_("%(file)s is not a CSV file in UTF-8.") % {"file": path}) from error
    return AirLog.from_arrays(np.array(seconds), np.array(air_c), np.array(rh_pct))


def _lines(file: TextIO) -> Iterator[str]:
    number = 0
    while line := file.readline(LONGEST_LINE):
        number += 1
        if len(line) == LONGEST_LINE:
            raise AirFileError(_line(number, _("It is too long for a reading.")))
        yield line


def _readings(rows: "csv.DictReader[str]", written_in: tzinfo) -> Iterator[tuple[float, float, float]]:
    missing = [name for name in COLUMNS if name not in (rows.fieldnames or ())]
    if missing:
        raise AirFileError(_("The file lacks the columns %(names)s.") % {"names": ", ".join(missing)})
    clock = WallClock(zone=written_in)
    for row in rows:
        try:
            written = stamp(row["at"] or "")
            air_c, rh_pct = float(row["temp_c"] or ""), float(row["rh_pct"] or "")
            check_air(air_c, rh_pct)
            at = seconds_of(clock.moment(written, (air_c, rh_pct)))
        except EngineError as error:
            raise AirFileError(_line(rows.line_num, error.message)) from error
        except (ValueError, OverflowError) as error:
            raise AirFileError(_line(rows.line_num, str(error))) from error
        yield at, air_c, rh_pct


def _line(number: int, why: str) -> str:
    return _("Line %(number)d: %(why)s") % {"number": number, "why": why}

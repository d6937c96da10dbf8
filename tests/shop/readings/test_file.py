"""Loggers' files, made up after habits that loggers have (from memory; no maker's own format)."""

import io
import tracemalloc
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.readings.file import HowToRead, ReadingFile, open_readings
from shop.readings.rows import FileReading
from shop.sheets.dates import DateOrder
from shop.sheets.problems import RowProblem, SheetError

NOW = datetime(2026, 12, 1, tzinfo=UTC)
ISO = "at,temp_c,rh_pct"


def a_file(*lines: str, encoding: str = "utf-8", ends: str = "\n") -> io.BytesIO:
    return io.BytesIO("".join(f"{line}{ends}" for line in lines).encode(encoding))


def read(file: io.BytesIO, zone: str = "UTC", **how: Any) -> tuple[list[FileReading], list[RowProblem], ReadingFile]:
    opened = open_readings(file)
    found = list(opened.rows(HowToRead(zone=ZoneInfo(zone), **how), now=NOW))
    good = [one for one in found if isinstance(one, FileReading)]
    return good, [one for one in found if isinstance(one, RowProblem)], opened


def told(found: list[FileReading]) -> list[tuple[str, float, float]]:
    return [(f"{one.at:%m-%dT%H:%M}", one.sample.air_c, one.sample.rh_pct) for one in found if one.sample]


def test_a_plain_file_is_read() -> None:
    good, bad, _ = read(a_file(ISO, "2026-03-01T08:30Z,11.5,71", "2026-03-01T08:35Z,11.6,70.5"))
    assert told(good) == [("03-01T08:30", 11.5, 71.0), ("03-01T08:35", 11.6, 70.5)]
    assert bad == []


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_a_file_with_words_before_its_header_decimal_commas_and_an_event_is_read(encoding: str, ends: str) -> None:
    lines = [
        "Gerät: Lager Süd",
        '"Series 12; ""loft"""',
        "",
        "Nr.;Datum/Date;Time;Temperature °C;Humidity %",
        "1;01.03.2026;08:30;11,5;71,0",
        "2;01.03.2026;08:35;;",
        "3;01.03.2026;08:40;-0,5;70",
    ]
    good, bad, opened = read(a_file(*lines, encoding=encoding, ends=ends), date_order=DateOrder.DMY)
    assert told(good) == [("03-01T08:30", 11.5, 71.0), ("03-01T08:40", -0.5, 70.0)]
    assert [one.row for one in good] == [5, 7]
    assert (bad, opened.empty, opened.columns.unknown) == ([], 1, ("Nr.",))


def test_a_file_in_fahrenheit_with_a_zone_above_its_stamps_is_read() -> None:
    lines = ['"Date Time, GMT-05:00","Temp, °F","RH, %"', "03/01/26 08:30:00 AM,61.16,71", "03/01/26 08:30:00 PM,32,71"]
    good, bad, _ = read(a_file(*lines), "Europe/Paris", date_order=DateOrder.MDY)
    assert told(good) == [("03-01T13:30", 16.2, 71.0), ("03-02T01:30", 0.0, 71.0)]
    assert bad == []


def test_the_unit_stands_in_the_cell_or_is_named() -> None:
    assert told(read(a_file("at,temp,rh", "2026-03-01T08:30Z,61.16 °F,71 %"))[0]) == [("03-01T08:30", 16.2, 71.0)]
    assert told(read(a_file("at,temp,rh", "2026-03-01T08:30Z,61.16,71"), unit="f")[0]) == [("03-01T08:30", 16.2, 71.0)]
    _, bad, _ = read(a_file("at,temp,rh", "2026-03-01T08:30Z,61.16,71"))
    assert [one.reason for one in bad] == ["Neither the file nor the form says whether this is °C or °F."]


def test_what_the_file_says_of_its_unit_counts_before_what_is_named() -> None:
    assert told(read(a_file("at,temp_c,rh", "2026-03-01T08:30Z,20,71"), unit="f")[0]) == [("03-01T08:30", 20.0, 71.0)]


@pytest.mark.parametrize(
    ("row", "column", "reason"),
    [
        ("2026-03-01T08:30Z,NaN,50", "temp_c", "“NaN” is not a temperature."),
        ("2026-03-01T08:30Z,-127,50", "temp_c", "The air of a shop lies between -40 and 50 °C."),
        ("2026-03-01T08:30Z,60,50", "temp_c", "The air of a shop lies between -40 and 50 °C."),
        ("2026-03-01T08:30Z,,50", "temp_c", "“” is not a temperature."),
        ("2026-03-01T08:30Z,20,", "rh_pct", "“” is not a humidity in per cent."),
        ("2026-03-01T08:30Z,20,100.5", "rh_pct", "Humidity runs from 0 to 100 %."),
        ("2026-03-01T08:30Z,20,-1", "rh_pct", "Humidity runs from 0 to 100 %."),
        ("2026-12-08T08:30Z,20,50", "at", "That time has not come yet."),
        ("0001-01-01T00:00,20,50", "at", "has a year that cannot be meant"),
        ("9999-12-31T23:59,20,50", "at", "has a year that cannot be meant"),
        ("03/04/2026 08:30,20,50", "at", "can be read in more than one way"),
        ("end of data,20,50", "at", "is not a moment"),
        ('"2026-03-01T08:30Z,20,50', "", "The quotation marks of this row do not match up."),
        ("20,50", "rh_pct", "“” is not a humidity in per cent."),
    ],
)
def test_a_bad_row_is_reported_with_its_place_and_the_others_stand(row: str, column: str, reason: str) -> None:
    good, bad, _ = read(a_file(ISO, "2026-03-01T08:25Z,20,50", row, "2026-03-01T08:35Z,20,50"))
    assert [one.row for one in good] == [2, 4]
    assert [(one.row, one.line, one.column) for one in bad] == [(3, 3, column)]
    assert reason in bad[0].reason


def test_a_header_that_stands_there_again_is_passed_over() -> None:
    good, bad, _ = read(a_file(ISO, "2026-03-01T08:30Z,20,50", ISO, "2026-03-01T08:35Z,20,50"))
    assert (len(good), bad) == (2, [])


def test_both_changes_of_the_clocks_are_read_and_counted() -> None:
    autumn = a_file(
        ISO, *(f"2026-10-25T{t},20,{n}" for n, t in enumerate(("01:30", "02:00", "02:00", "02:30", "03:00")))
    )
    good, _, opened = read(autumn, "Europe/Paris")
    assert [one[0] for one in told(good)] == ["10-24T23:30", "10-25T00:00", "10-25T01:00", "10-25T01:30", "10-25T02:00"]
    assert opened.clock is not None
    assert (opened.clock.twice, opened.clock.skipped) == (3, 0)
    _, _, opened = read(a_file(ISO, "2026-03-29T02:30,20,50"), "Europe/Paris")
    assert opened.clock is not None
    assert (opened.clock.twice, opened.clock.skipped) == (0, 1)


def test_gaps_and_rows_out_of_order_are_counted() -> None:
    times = ["2026-03-01T00:00Z", "2026-03-01T06:00Z", "2026-03-01T12:01Z", "2026-03-01T12:00Z", "2026-03-03T12:00Z"]
    _, _, opened = read(a_file(ISO, *(f"{t},20,50" for t in times)))
    course = opened.course
    assert (course.gaps, course.longest, course.backwards) == (2, timedelta(days=2), 1)
    assert (course.first, course.last) == (datetime(2026, 3, 1, tzinfo=UTC), datetime(2026, 3, 3, 12, tzinfo=UTC))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty."),
        (b"  \n", "The file is empty."),
        (b"PK\x03\x04rest", "not a text file"),
        (b"a,b\n1,2\n", "moment, temperature, humidity"),
        (b"at,temp_c\n", "humidity"),
        (b"\n" * 61 + b"at,temp_c,rh_pct\n", "moment"),
        (b"2026-03-01T08:30Z,20,50\n", "moment"),
    ],
)
def test_a_file_of_another_shape_is_refused_with_its_reason(content: bytes, words: str) -> None:
    with pytest.raises(SheetError, match=words):
        open_readings(io.BytesIO(content))


@given(
    st.lists(
        st.tuples(
            st.datetimes(NOW.replace(year=2020, tzinfo=None), NOW.replace(tzinfo=None)),
            st.integers(-400, 500),
            st.integers(0, 1000),
        ),
        max_size=20,
    ),
    st.sampled_from([",", ";", "\t"]),
    st.booleans(),
    st.sampled_from(["%Y-%m-%dT%H:%M:%SZ", "%d/%m/%Y %I:%M:%S %p UTC", "%d.%m.%y %H:%M:%S GMT"]),
)
def test_what_is_written_is_read_back(
    rows: list[tuple[datetime, int, int]], delimiter: str, comma: bool, form: str
) -> None:
    def number(tenths: int) -> str:
        text = f"{tenths / 10:.1f}"
        return f'"{text.replace(".", ",")}"' if comma else text

    lines = [delimiter.join((at.strftime(form), number(t), number(h))) for at, t, h in rows]
    good, bad, _ = read(a_file(delimiter.join(("when", "temp °C", "rh %")), *lines), date_order=DateOrder.DMY)
    assert bad == []
    assert [(one.at, one.sample.air_c, one.sample.rh_pct) for one in good if one.sample] == [
        (at.replace(microsecond=0, tzinfo=UTC), t / 10, h / 10) for at, t, h in rows
    ]


class Endless(io.RawIOBase):
    """A file of so many rows that is made as it is read, so that it takes no memory itself."""

    def __init__(self, rows: int) -> None:
        self._rows = rows
        self._made: Iterator[bytes] = iter(())
        self._rest = b""

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = 0) -> int:
        self._made, self._rest = self._lines(), b""
        return 0

    def tell(self) -> int:
        return 0

    def _lines(self) -> Iterator[bytes]:
        yield f"{ISO}\n".encode()
        for n in range(self._rows):
            yield f"{(NOW - timedelta(minutes=5 * n)):%Y-%m-%dT%H:%M:%SZ},{n % 30}.5,{n % 90}\n".encode()

    def readinto(self, buffer: Any) -> int:
        while len(self._rest) < len(buffer):
            line = next(self._made, b"")
            if not line:
                break
            self._rest += line
        part, self._rest = self._rest[: len(buffer)], self._rest[len(buffer) :]
        buffer[: len(part)] = part
        return len(part)


def peak_of(rows: int) -> int:
    """Bytes that reading a file takes at most."""
    tracemalloc.start()
    try:
        file = io.BufferedReader(Endless(rows))
        found = sum(1 for _ in open_readings(file).rows(HowToRead(zone=UTC), now=NOW))
        assert found == rows
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def test_reading_takes_no_more_memory_for_a_longer_file() -> None:
    peak_of(100)
    assert peak_of(24_000) < 1.05 * peak_of(8_000)


def rain(found: list[FileReading]) -> list[tuple[str, float]]:
    return [(f"{one.at:%m-%dT%H:%M}", one.rain.rain_mm) for one in found if one.rain]


def test_a_logger_with_a_rain_column_brings_air_and_rain() -> None:
    rows = ["2026-03-01T08:00Z,11.5,71,0.0", "2026-03-01T09:00Z,11.6,72,2.4", "2026-03-01T10:00Z,11.7,73,"]
    good, bad, _ = read(a_file("at,temp_c,rh_pct,rain_mm", *rows))
    assert len(told(good)) == 3
    assert (rain(good), bad) == ([("03-01T08:00", 0.0), ("03-01T09:00", 2.4)], [])


def test_a_rain_gauges_own_file_needs_no_temperature() -> None:
    rows = ["01.03.2026 08:00;0,2;14,0", "01.03.2026 09:00;;14,1", "01.03.2026 10:00;1,0;14,2"]
    good, bad, opened = read(a_file("Date Time;Rain (mm);Temp °C", *rows), date_order=DateOrder.DMY)
    assert (rain(good), told(good), bad) == ([("03-01T08:00", 0.2), ("03-01T10:00", 1.0)], [], [])
    assert (opened.empty, opened.columns.unknown) == (1, ("Temp °C",))


def test_rain_in_inches_is_read() -> None:
    good, _, _ = read(a_file("at,rainfall_in", "2026-03-01T08:00Z,0.1", "2026-03-01T09:00Z,2.54 mm"))
    assert rain(good) == [("03-01T08:00", 2.54), ("03-01T09:00", 2.54)]  # an inch is 25.4 mm by definition


@pytest.mark.parametrize(("cell", "words"), [("-1", "0 to 500 mm"), ("501", "0 to 500 mm"), ("wet", "not an amount")])
def test_rain_that_never_fell_is_told_with_its_column(cell: str, words: str) -> None:
    good, bad, _ = read(a_file("at,rain_mm", f"2026-03-01T08:00Z,{cell}"))
    assert (good, [one.column for one in bad]) == ([], ["rain_mm"])
    assert words in bad[0].reason

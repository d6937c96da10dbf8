"""Both changes of the clocks, by the time zone database (zoneinfo)."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.readings.clock import WallClock

PARIS = ZoneInfo("Europe/Paris")
ZONES = ["Europe/Paris", "America/New_York", "Australia/Lord_Howe", "America/St_Johns", "Asia/Kathmandu", "UTC"]


def bare(text: str) -> datetime:
    return datetime.fromisoformat(text)


def moments(*stamps: str, values: list[object] | None = None, zone: str = "Europe/Paris") -> list[str]:
    clock = WallClock(zone=ZoneInfo(zone))
    read = values or list(range(len(stamps)))
    return [f"{clock.moment(bare(s), v):%H:%M}" for s, v in zip(stamps, read, strict=True)]


def test_the_hour_that_comes_twice_is_told_apart_by_the_order_of_the_rows() -> None:
    # Clocks in Paris go back at 03:00 CEST = 01:00 UTC on 25 October 2026.
    day = "2026-10-25T"
    stamps = [day + t for t in ("01:30", "02:00", "02:30", "02:00", "02:30", "03:00")]
    assert moments(*stamps) == ["23:30", "00:00", "00:30", "01:00", "01:30", "02:00"]


def test_a_file_that_begins_with_the_newest_reading_is_told_apart_too() -> None:
    day = "2026-10-25T"
    stamps = [day + t for t in ("03:30", "03:00", "02:30", "02:00", "02:30", "02:00", "01:30")]
    assert moments(*stamps) == ["02:30", "02:00", "01:30", "01:00", "00:30", "00:00", "23:30"]


def test_an_hourly_logger_shows_the_same_stamp_twice_and_means_two_moments() -> None:
    stamps = ["2026-10-25T01:00", "2026-10-25T02:00", "2026-10-25T02:00", "2026-10-25T03:00"]
    assert moments(*stamps) == ["23:00", "00:00", "01:00", "02:00"]


def test_a_row_that_stands_there_twice_is_no_second_pass() -> None:
    stamps = ["2026-10-25T02:00", "2026-10-25T02:30", "2026-10-25T02:30", "2026-10-25T02:40", "2026-10-25T02:00"]
    assert moments(*stamps, values=["a", "b", "b", "c", "d"]) == ["00:00", "00:30", "00:30", "00:40", "01:00"]


def test_a_stamp_that_is_out_of_order_in_the_second_pass_stays_in_it() -> None:
    stamps = ["2026-10-25T02:50", "2026-10-25T02:10", "2026-10-25T02:30", "2026-10-25T02:20"]
    assert moments(*stamps) == ["00:50", "01:10", "01:30", "01:20"]


def test_an_older_autumn_after_a_newer_one_begins_with_summer_time_again() -> None:
    clock = WallClock(zone=PARIS)
    clock.moment(bare("2026-12-01T00:00"), 1)
    assert clock.moment(bare("2026-10-25T02:10"), 2) == datetime(2026, 10, 25, 0, 10, tzinfo=UTC)


def test_the_hour_that_is_skipped_is_read_as_if_the_clock_had_not_been_put_forward() -> None:
    # Clocks in Paris go forward at 02:00 CET = 01:00 UTC on 29 March 2026.
    clock = WallClock(zone=PARIS)
    assert clock.moment(bare("2026-03-29T01:59"), 0) == datetime(2026, 3, 29, 0, 59, tzinfo=UTC)
    assert clock.moment(bare("2026-03-29T02:30"), 1) == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert clock.moment(bare("2026-03-29T03:00"), 2) == datetime(2026, 3, 29, 1, 0, tzinfo=UTC)
    assert (clock.skipped, clock.twice) == (1, 0)


def test_a_stamp_with_its_offset_is_taken_at_its_word_and_not_counted() -> None:
    clock = WallClock(zone=PARIS)
    assert clock.moment(bare("2026-10-25T02:30+01:00"), 0) == datetime(2026, 10, 25, 1, 30, tzinfo=UTC)
    assert (clock.skipped, clock.twice) == (0, 0)


@pytest.mark.parametrize("backwards", [False, True])
@given(
    start=st.datetimes(bare("2025-01-01"), bare("2026-12-01"), timezones=st.just(UTC)),
    minutes=st.sampled_from([1, 5, 10, 15, 20, 30, 60]),
    zone=st.sampled_from(ZONES),
    near=st.sampled_from(["2026-10-25T00:00", "2026-03-29T00:00", "2026-11-01T04:00", "2026-04-04T14:00", None]),
)
def test_a_logger_that_reads_at_a_steady_pace_is_understood_to_the_minute(
    start: datetime, minutes: int, zone: str, near: str | None, backwards: bool
) -> None:
    begin = bare(near).replace(tzinfo=UTC) if near else start
    true = [begin + timedelta(minutes=minutes * n) for n in range(-40, 240)]
    if backwards:
        true.reverse()
    clock, info = WallClock(zone=ZoneInfo(zone)), ZoneInfo(zone)
    # In half an hour put back (Lord Howe), an hourly logger may show one stamp of two and nobody can know which.
    if zone == "Australia/Lord_Howe" and minutes > 30:
        return
    assert [clock.moment(m.astimezone(info).replace(tzinfo=None), m) for m in true] == true

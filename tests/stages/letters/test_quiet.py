"""The quiet hours, also in the nights in which the clocks are set."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stages.letters.quiet import is_quiet, next_at, not_before

BERLIN, TORONTO, HOBART = ZoneInfo("Europe/Berlin"), ZoneInfo("America/Toronto"), ZoneInfo("Australia/Lord_Howe")
ZONES = st.sampled_from([BERLIN, TORONTO, HOBART, ZoneInfo("UTC"), ZoneInfo("Asia/Kathmandu")])
CLOCKS = st.times().map(lambda clock: clock.replace(second=0, microsecond=0))
SECONDS = st.integers(0, 6 * 365 * 86_400)
MOMENTS = SECONDS.map(lambda seconds: datetime(2026, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds))


@pytest.mark.parametrize(
    ("clock", "quiet"), [("19:59", False), ("20:00", True), ("23:59", True), ("07:59", True), ("08:00", False)]
)
def test_over_midnight_the_first_minute_is_in_and_the_last_is_out(clock: str, quiet: bool) -> None:
    at = datetime.combine(date(2031, 5, 5), time.fromisoformat(clock), BERLIN)
    assert is_quiet(at, BERLIN, time(20), time(8)) is quiet


def test_within_a_day_and_with_none() -> None:
    noon = datetime(2031, 5, 5, 12, tzinfo=UTC)
    assert is_quiet(noon, ZoneInfo("UTC"), time(12), time(13))
    assert not is_quiet(noon, ZoneInfo("UTC"), time(12), time(12))


# Directive 2000/84/EC: the clocks of Berlin go forward and back at 01:00 UTC on the last Sundays of March and October.
@pytest.mark.parametrize(
    ("at", "until", "goes_out"),
    [
        (datetime(2031, 3, 29, 22, tzinfo=UTC), time(8), datetime(2031, 3, 30, 6, tzinfo=UTC)),  # a night of 23 h
        (datetime(2031, 10, 25, 22, tzinfo=UTC), time(8), datetime(2031, 10, 26, 7, tzinfo=UTC)),  # a night of 25 h
        (datetime(2031, 3, 29, 22, tzinfo=UTC), time(2, 30), datetime(2031, 3, 30, 1, tzinfo=UTC)),  # 02:30 is not
        (datetime(2031, 10, 25, 22, tzinfo=UTC), time(2, 30), datetime(2031, 10, 26, 0, 30, tzinfo=UTC)),  # twice
        (datetime(2031, 10, 26, 1, 10, tzinfo=UTC), time(2, 30), datetime(2031, 10, 26, 1, 30, tzinfo=UTC)),  # again
    ],
)
def test_the_nights_in_which_the_clocks_are_set(at: datetime, until: time, goes_out: datetime) -> None:
    assert not_before(at, BERLIN, time(20), until) == goes_out


@given(at=MOMENTS, tz=ZONES, quiet_from=CLOCKS, quiet_until=CLOCKS)
@example(at=datetime(2031, 3, 30, 0, 59, tzinfo=UTC), tz=BERLIN, quiet_from=time(2, 15), quiet_until=time(2, 45))
@example(at=datetime(2031, 10, 26, 0, 40, tzinfo=UTC), tz=BERLIN, quiet_from=time(2, 15), quiet_until=time(2, 45))
def test_it_is_the_first_moment_that_is_not_quiet(
    at: datetime, tz: ZoneInfo, quiet_from: time, quiet_until: time
) -> None:
    goes_out = not_before(at, tz, quiet_from, quiet_until)
    assert not is_quiet(goes_out, tz, quiet_from, quiet_until)
    assert goes_out >= at
    minutes = int((goes_out - at).total_seconds() // 60)
    assert minutes <= 25 * 60
    assert all(is_quiet(at + timedelta(minutes=n), tz, quiet_from, quiet_until) for n in range(0, minutes, 7))
    assert goes_out == at or is_quiet(goes_out - timedelta(seconds=1), tz, quiet_from, quiet_until)


@given(now=MOMENTS, tz=ZONES, weekday=st.integers(0, 6), clock=CLOCKS)
def test_the_week_s_letter_is_due_within_a_week_on_its_day(
    now: datetime, tz: ZoneInfo, weekday: int, clock: time
) -> None:
    due = next_at(now, tz, weekday, clock)
    assert now <= due <= now + timedelta(days=8)
    assert due.astimezone(tz).weekday() == weekday

"""The time across a picture, and the marks along its foot."""

import itertools
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine.errors import EngineError
from stages.pictures.timeline import NARROW, WIDE, WIDTH, Timeline, percent
from tests.stages.pictures.drawn import share

TORONTO = ZoneInfo("America/Toronto")
DAY = 86_400.0


def line(start: datetime, days: float) -> Timeline:
    return Timeline(start.timestamp(), start.timestamp() + days * DAY)


@pytest.mark.parametrize(("start", "end"), [(1.0, 1.0), (2.0, 1.0), (float("nan"), 1.0), (0.0, float("inf"))])
def test_a_time_that_does_not_end_after_it_begins_is_refused(start: float, end: float) -> None:
    with pytest.raises(EngineError):
        Timeline(start, end)


def test_a_moment_stands_at_its_share_of_the_width() -> None:
    four = Timeline(0.0, 4.0)
    assert [four.x(moment) for moment in (-1.0, 0.0, 1.0, 4.0, 5.0)] == [0, 0, WIDTH // 4, WIDTH, WIDTH]
    assert four.pct(1.0) == "25%"
    assert four.width(1.0, 9.0) == "75%"
    assert [four.holds(moment) for moment in (-0.1, 0.0, 4.0, 4.1)] == [False, True, True, False]


@given(st.floats(0, 1))
def test_per_cent_are_what_an_attribute_takes(part: float) -> None:
    assert share(percent(part)) == pytest.approx(part, abs=5e-5)


@pytest.mark.parametrize(
    ("days", "apart_h"), [(0.3, 3), (0.75, 3), (1.0, 6), (2.0, 6), (2.1, 24), (9.0, 24), (24.0, 24), (24.1, 7 * 24)]
)
def test_marks_are_hours_days_or_weeks(days: float, apart_h: int) -> None:
    ticks = line(datetime(2026, 6, 10, 13, 40, tzinfo=UTC), days).ticks(UTC)
    assert {b.at - a.at for a, b in itertools.pairwise(ticks)} <= {timedelta(hours=apart_h)}
    assert all(tick.at.minute == 0 and (apart_h < 24 or tick.at.hour == 0) for tick in ticks)
    assert {tick.at.weekday() for tick in ticks} == ({0} if apart_h > 24 else {tick.at.weekday() for tick in ticks})


@pytest.mark.parametrize("start", [datetime(2026, 3, 6, 12, tzinfo=UTC), datetime(2026, 10, 30, 12, tzinfo=UTC)])
def test_days_begin_at_midnight_by_the_shop_s_clock_through_a_change_of_the_clocks(start: datetime) -> None:
    # In Toronto clocks went on on 8 March 2026 and go back on 1 November 2026.
    ticks = line(start, 5).ticks(TORONTO)
    assert [tick.at.hour for tick in ticks] == [0] * 5
    steps = {(b.at.timestamp() - a.at.timestamp()) / 3600 for a, b in itertools.pairwise(ticks)}
    assert 24 in steps
    assert len(steps) == 2


@given(st.floats(0.05, 400), st.integers(0, 10_000))
def test_words_never_crowd(days: float, hours: int) -> None:
    ticks = line(datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=hours), days).ticks(TORONTO)
    wide = [tick for tick in ticks if tick.words]
    narrow = [tick for tick in wide if not tick.wide_only]
    assert len(wide) <= WIDE
    assert len(narrow) <= NARROW
    places = [share(tick.x) for tick in narrow]
    assert all(b - a > 0.1 for a, b in itertools.pairwise(places))
    assert all(place < 0.95 for place in (share(tick.x) for tick in wide))
    # "14 December" takes some 45 of the 350 pixels of a picture on a phone.
    assert all(place < 1 - 45 / 350 for place in places)


@given(st.floats(0.5, 400))
def test_there_is_always_a_mark_where_a_day_begins_in_the_picture(days: float) -> None:
    assert line(datetime(2026, 1, 1, 18, tzinfo=UTC), days).ticks(UTC)

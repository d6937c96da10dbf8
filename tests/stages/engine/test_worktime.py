"""Hours between start and end with the nights left out: common practice, no published source."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from stages.engine.worktime import worked_h

CASES = [  # a Thursday is the 15th of May 2031; from, to, hours
    ("15 08:00", "15 17:00", 8.0),  # a full day less its break
    ("15 09:00", "15 09:00", 0.0),
    ("15 16:00", "16 09:00", 16 / 9),  # an hour in the evening and one in the morning, a ninth of each for breaks
    ("15 03:00", "15 23:00", 8.0),
    ("16 08:00", "19 17:00", 16.0),  # over a weekend
    ("17 10:00", "17 19:00", 56 / 9),  # all of it on a Saturday
]


@pytest.mark.parametrize(("since", "until", "hours"), CASES)
def test_nights_and_weekends_are_left_out(since: str, until: str, hours: float) -> None:
    assert worked_h(at(since), at(until), UTC) == pytest.approx(hours)


def test_days_are_those_of_the_shop_s_clock() -> None:
    assert worked_h(at("15 12:00"), at("15 21:00"), ZoneInfo("America/Toronto")) == pytest.approx(8.0)


def at(text: str) -> datetime:
    return datetime.strptime(f"2031-05-{text}", "%Y-%m-%d %H:%M").replace(tzinfo=UTC)

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from stages.owner.days import about_when, day, span

NOW = datetime(2031, 5, 15, 9, tzinfo=UTC)  # a Thursday
TODAY = NOW.date()


@pytest.mark.parametrize(
    ("at", "says"),
    [
        (datetime(2031, 5, 15, 11, 59, tzinfo=UTC), "this morning"),
        (datetime(2031, 5, 15, 12, 0, tzinfo=UTC), "this afternoon"),
        (datetime(2031, 5, 15, 17, 59, tzinfo=UTC), "this afternoon"),
        (datetime(2031, 5, 15, 18, 0, tzinfo=UTC), "this evening"),
        (datetime(2031, 5, 16, 0, 0, tzinfo=UTC), "tomorrow morning"),
        (datetime(2031, 5, 17, 14, 0, tzinfo=UTC), "on Saturday afternoon"),
        (datetime(2031, 5, 21, 23, 0, tzinfo=UTC), "on Wednesday evening"),
        (datetime(2031, 5, 22, 0, 0, tzinfo=UTC), "on 22 May"),
        (datetime(2032, 1, 3, 9, 0, tzinfo=UTC), "on 3 January 2032"),
    ],
)
def test_a_moment_to_come_is_said_no_finer_than_an_owner_needs_it(at: datetime, says: str) -> None:
    assert about_when(at, NOW) == says


def test_days_begin_at_the_shop_s_own_midnight() -> None:
    with timezone.override(ZoneInfo("America/Toronto")):  # five in the morning there, on the 15th
        assert about_when(datetime(2031, 5, 16, 3, 30, tzinfo=UTC), NOW) == "this evening"


def test_a_day_of_another_year_names_it() -> None:
    assert (day(date(2031, 4, 2), TODAY), day(date(2030, 4, 2), TODAY)) == ("2 April", "2 April 2030")


@pytest.mark.parametrize(
    ("first", "last", "says"),
    [
        (date(2031, 5, 12), date(2031, 5, 12), "12 May"),
        (date(2031, 5, 12), date(2031, 5, 14), "12 to 14 May"),
        (date(2031, 4, 30), date(2031, 5, 2), "30 April to 2 May"),
        (date(2030, 12, 30), date(2031, 1, 2), "30 December 2030 to 2 January"),
    ],
)
def test_several_days_are_said_as_short_as_they_can_be(first: date, last: date, says: str) -> None:
    assert span(first, last, TODAY) == says

"""Which photos of a boat go together."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone

from hulls.models import Photo
from hulls.time_lapse import pairs_of

TORONTO = ZoneInfo("America/Toronto")


def port_at(*moments: datetime) -> list[Photo]:
    return [Photo(view="port", taken_at=moment) for moment in moments]


def test_two_photos_of_one_day_by_the_shop_s_clock_are_no_before_and_after() -> None:
    """18:30 and 20:30 in Toronto are two days by UTC."""
    evening = port_at(datetime(2026, 11, 24, 23, 30, tzinfo=UTC), datetime(2026, 11, 25, 1, 30, tzinfo=UTC))
    with timezone.override(TORONTO):
        assert pairs_of(evening) == []


def test_two_photos_of_one_day_by_utc_may_be_two_days_to_the_shop() -> None:
    """23:30 and half past midnight in Toronto are one day by UTC."""
    night = port_at(datetime(2026, 11, 25, 4, 30, tzinfo=UTC), datetime(2026, 11, 25, 5, 30, tzinfo=UTC))
    with timezone.override(TORONTO):
        assert pairs_of(night) == [(night[0], night[1])]

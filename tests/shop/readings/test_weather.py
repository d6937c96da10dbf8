"""Dry days by the gauge. The limit is common practice, from memory; below, at and above it."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from shop.readings.sample import Rain
from shop.readings.weather import bounds, days_touched, judge_day, rain_day

DAY = date(2026, 6, 2)
PARIS = ZoneInfo("Europe/Paris")


def falls(*pairs: tuple[float, float]) -> list[Rain]:
    """Pairs of hours from the day's beginning (UTC) and mm."""
    return [Rain(at=datetime(2026, 6, 2, tzinfo=UTC) + timedelta(hours=h), rain_mm=mm) for h, mm in pairs]


def every_hour(**mm: float) -> list[Rain]:
    return falls(*((h, mm.get(f"h{h}", 0.0)) for h in range(26)))


@pytest.mark.parametrize(("mm", "dry"), [(0.0, True), (0.2, True), (0.3, False), (12.0, False)])
def test_a_day_is_dry_up_to_one_tip_of_the_gauge(mm: float, dry: bool) -> None:
    verdict = judge_day(DAY, every_hour(h9=mm), UTC)
    assert (verdict.dry, verdict.rain_mm) == (dry, mm)


def test_many_small_tips_add_up() -> None:
    assert judge_day(DAY, every_hour(h1=0.1, h2=0.1), UTC).dry is True
    assert judge_day(DAY, every_hour(h1=0.1, h2=0.1, h3=0.1), UTC).dry is False


def test_a_day_that_is_not_over_is_wet_at_once_but_not_yet_dry() -> None:
    assert judge_day(DAY, falls((0, 0), (6, 0), (12, 0)), UTC).dry is None
    assert judge_day(DAY, falls((0, 0), (6, 0), (12, 0.4)), UTC).dry is False


def test_what_is_read_at_midnight_fell_on_the_day_that_ends() -> None:
    assert judge_day(DAY, every_hour(h0=5.0), UTC).dry is True
    assert judge_day(DAY, every_hour(h24=5.0), UTC).dry is False
    assert rain_day(datetime(2026, 6, 3, tzinfo=UTC), UTC) == DAY
    assert rain_day(datetime(2026, 6, 3, 0, 0, 1, tzinfo=UTC), UTC) == DAY + timedelta(days=1)


@pytest.mark.parametrize(("gap_h", "dry"), [(6, True), (6.1, None)])
def test_a_gauge_that_was_away_for_long_cannot_tell(gap_h: float, dry: bool | None) -> None:
    hours = [*range(9), 8 + gap_h, *range(15, 26)]
    assert judge_day(DAY, falls(*((h, 0.0) for h in hours)), UTC).dry is dry


def test_nothing_read_before_or_after_leaves_the_day_open() -> None:
    assert judge_day(DAY, every_hour()[1:], UTC).dry is None
    assert judge_day(DAY, every_hour()[:24], UTC).dry is None
    assert judge_day(DAY, [], UTC).dry is None


def test_a_day_is_the_shops_own_and_has_25_hours_when_the_clocks_go_back() -> None:
    begin, end = bounds(date(2026, 10, 25), PARIS)
    assert end.astimezone(UTC) - begin.astimezone(UTC) == timedelta(hours=25)
    assert rain_day(datetime(2026, 6, 2, 22, 30, tzinfo=UTC), PARIS) == date(2026, 6, 3)


def test_a_reading_touches_its_day_and_the_one_before() -> None:
    assert days_touched([datetime(2026, 6, 3, 8, tzinfo=UTC)], UTC) == [DAY, DAY + timedelta(days=1)]

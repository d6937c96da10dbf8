"""The weather ahead, out of the yard's own record, worked out by hand."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from shop.models import WeatherDay, Zone
from stages.planner.timegrid import SLOTS_A_DAY
from stages.queries.planning.grid import Grid
from stages.queries.planning.ground import AIRING, OUTDOORS
from stages.queries.planning.noise import noise_of
from stages.queries.planning.weather import Weather, dry_evenings, dry_spans, unknown_days
from stages.queries.problem import the_problem
from stages.queries.world import around
from tests.factories import a_hull, a_shop, the_shop_owner

FIRST = date(2026, 5, 4)
GRID = Grid.at(datetime(2026, 5, 11, 7, 20, tzinfo=UTC), UTC)


def weather(dry: str) -> Weather:
    """A record from the fourth of May on: D for a dry day, w for a wet one."""
    return Weather(days={FIRST + timedelta(days=n): day == "D" for n, day in enumerate(dry)})


def test_without_a_record_six_days_of_ten_are_dry_and_evenly_spread() -> None:
    found = dry_spans(weather(""), GRID, 10)
    assert len(found) == 6
    assert found[0] == (3, 43)  # today from eight to six, the first slot begins at a quarter past seven


def test_the_record_counts_beside_ten_usual_days() -> None:
    # Seven days of which five were dry, and ten of which six are: 11 of 17.
    assert weather("DDwDDwD").dry_share == pytest.approx(11 / 17)


def test_how_often_rain_follows_rain_is_counted_from_day_to_day() -> None:
    record = weather("DDwwDDw")
    # After a dry day: D, w, D, w; after a wet one: w, D. Ten usual days of which four are wet count along with each.
    assert record.wet_after(wet=False) == pytest.approx((2 + 4) / (4 + 10))
    assert record.wet_after(wet=True) == pytest.approx((1 + 4) / (2 + 10))


def test_a_day_on_record_is_as_recorded_and_no_guess() -> None:
    today = weather("DDDDDDDw")
    assert today.is_dry(GRID.today, GRID.today) is False
    assert dry_evenings(today, GRID, 1) == ()


def test_days_that_nobody_knows_begin_tomorrow_one_span_a_day_for_each_kind_of_work() -> None:
    coats, evenings = unknown_days(weather(""), GRID, 8)
    assert len(coats) == len(evenings) == 7
    assert coats[0][0] == 3 + SLOTS_A_DAY
    assert evenings[0] == (coats[0][1] - 1, coats[0][1])


@pytest.mark.django_db
def test_the_forecast_draws_the_days_by_the_yard_s_own_record() -> None:
    a_shop()
    the_shop_owner()
    a_hull()
    yard, today = Zone.objects.get(outdoors=True), timezone.now().date()
    for n in range(30):
        WeatherDay.objects.create(zone=yard, day=today - timedelta(days=n), dry=n % 2 == 0)
    shop, now = around(), timezone.now()
    noise = noise_of(shop, the_problem(shop, now))
    (wet,) = noise.weather
    assert wet.wet_before is False
    # Dry and wet days took turns: fifteen times rain after a dry day, never rain after rain.
    assert wet.after_dry == pytest.approx((15 + 4) / (15 + 10), abs=0.03)
    assert wet.after_wet == pytest.approx(4 / (14 + 10), abs=0.03)
    assert len(wet.days[OUTDOORS]) == len(wet.days[AIRING])

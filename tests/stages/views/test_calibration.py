"""How good the dates were: what was told of boats, held against the day of the hand-over."""

from datetime import datetime, time, timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from shop.models import Role
from stages.models import HullDates, HullWork
from stages.queries.calibration import calibration
from tests.factories import a_crew_member, a_hull, a_shop, the_shop_owner

pytestmark = pytest.mark.django_db
KEPT = "/plan/kept/"
DAY = timezone.localdate() - timedelta(days=3)  # on which boats were likely to be done


@pytest.fixture(autouse=True)
def shop() -> None:
    a_shop()


def told(hull: int, days_before: int, likely_off: int = 0) -> None:
    """What was told so many days before the likely day: a range from three days before it to nine after."""
    likely = DAY + timedelta(days=likely_off)
    HullDates.objects.create(
        hull_id=hull,
        made_at=timezone.make_aware(datetime.combine(DAY, time(12))) - timedelta(days=days_before),
        early_on=likely - timedelta(days=3),
        likely_on=likely,
        late_on=likely + timedelta(days=9),
        suggested_on=likely + timedelta(days=5),
        promised_on=DAY + timedelta(days=1),
    )


def handed_over(tag: str, off_days: int) -> int:
    """A boat that was handed over so many days after the likely day."""
    hull = a_hull(tag)
    at = timezone.make_aware(datetime.combine(DAY + timedelta(days=off_days), time(15)))
    HullWork.objects.filter(hull=hull).update(handed_over_at=at)
    return hull.pk


def test_a_row_without_dates_tells_nothing_that_could_be_judged() -> None:
    hull = handed_over("H-1", 0)
    before = timezone.make_aware(datetime.combine(DAY, time(12)))
    HullDates.objects.create(hull_id=hull, made_at=before - timedelta(days=20), no_date=[{"text": "No.", "values": {}}])
    assert calibration() is None
    told(hull, 30)
    found = calibration()
    assert found is not None
    assert (found.hits.hits, found.hits.of) == (1, 1)


def test_ranges_that_held_are_counted_and_scored() -> None:
    """By hand, range of twelve days: on the likely day 12; two days outside 12 + 10 x 2 (Gneiting, Raftery, eq. 43)."""
    for tag, off_days in (("H-1", 0), ("H-2", 11)):
        told(handed_over(tag, off_days), 30)
    found = calibration()
    assert found is not None
    assert (found.hits.hits, found.hits.of) == (1, 2)
    assert found.interval_days == pytest.approx((12 + 32) / 2)
    assert found.likely_days == pytest.approx((0 + 5.5) / 2)
    assert found.range_days == 12
    assert found.kept is not None
    assert (found.kept.hits, found.kept.of) == (1, 2)


def test_what_was_told_two_weeks_before_counts_and_not_what_was_told_at_the_end() -> None:
    hull = handed_over("H-1", 0)
    told(hull, 40, likely_off=-20)
    told(hull, 15, likely_off=-8)
    told(hull, 2, likely_off=0)
    found = calibration()
    assert found is not None
    assert [row.boat.off_days for row in found.boats] == [8]


def test_boats_in_work_and_boats_without_a_forecast_are_left_out() -> None:
    told(a_hull("H-1").pk, 30)
    handed_over("H-2", 0)
    assert calibration() is None


@pytest.mark.parametrize("boats", [1, 4])
def test_the_number_of_queries_stays_with_more_boats(
    boats: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for n in range(boats):
        told(handed_over(f"H-{n}", n), 30)
    with django_assert_num_queries(2):
        calibration()


def test_the_page_shows_the_share_with_its_own_uncertainty(client: Client) -> None:
    """Three of four: Wilson 1927, 95 %: 30.1 to 95.4 %."""
    for n, off_days in enumerate((0, 2, 5, 30)):
        told(handed_over(f"H-{n}", off_days), 40)
    client.force_login(the_shop_owner())
    page = client.get(KEPT).content.decode()
    assert "3 of 4 boats came within their range" in page
    assert "between 30 and 95 %" in page
    assert page.count("kept__day--out") == 1


def test_the_page_says_so_before_the_first_boat(client: Client) -> None:
    client.force_login(the_shop_owner())
    assert "No boat has been handed over yet" in client.get(KEPT).content.decode()


def test_the_crew_may_not_read_it_and_nobody_may_send_to_it(client: Client) -> None:
    client.force_login(a_crew_member(role=Role.CREW))
    assert client.get(KEPT).status_code == 403
    client.force_login(the_shop_owner())
    assert client.post(KEPT).status_code == 405

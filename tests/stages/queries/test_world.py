"""The shop around the hulls is read once after each write, whoever wrote, and never twice for the same stamps."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Zone
from stages.queries.world import around
from stages.services import notes
from tests.factories import a_hull, a_shop, hand, station

pytestmark = pytest.mark.django_db


def queries_of_a_look() -> int:
    with CaptureQueriesContext(connection) as asked:
        around()
    return len(asked)


def test_a_second_look_asks_for_the_stamps_alone() -> None:
    a_shop()
    around()
    assert queries_of_a_look() == 1


def test_a_hull_that_moved_has_taken_its_place_at_the_next_look() -> None:
    a_shop()
    hull, rack = a_hull(), station("rack")
    assert around().world.stations[rack.pk].taken == frozenset()
    assert notes.move_hull(hull_id=hull.pk, station=rack.pk, hand=hand()).done
    assert around().world.stations[rack.pk].taken == {1}
    strip = station("strip")
    assert notes.move_hull(hull_id=hull.pk, station=strip.pk, hand=hand()).done
    assert around().world.stations[rack.pk].taken == frozenset()
    assert around().world.stations[strip.pk].taken == {1}


def test_a_zone_with_another_set_point_has_other_air_ahead_and_one_that_was_saved_as_it_was_the_same() -> None:
    a_shop()
    zone = Zone.objects.filter(readings__isnull=False).distinct()[0]
    before = around().world.air[zone.pk]
    zone.save()
    assert around().world.air[zone.pk] is before
    zone.set_c = 31.0
    zone.save()
    assert around().world.air[zone.pk] is not before

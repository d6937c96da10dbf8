"""The demo shop's sensors show what the page of sensors is for."""

import pytest
from django.utils import timezone

from shop.models import CrewMember, Flag, Reading, Zone
from shop.readings.standing import sensor_rows
from stages.demo.sensors import NONSENSE, load_sensors
from stages.demo.weather import load_air
from tests.factories import the_shop_owner

pytestmark = pytest.mark.django_db


def test_one_is_silent_and_one_reads_nonsense_that_is_flagged() -> None:
    owner: CrewMember = the_shop_owner()
    now = timezone.now()
    load_air({name: Zone.objects.create(name=name) for name in ZONES}, now)
    load_sensors(now, by=owner)
    rows = {row.sensor.zone.name: row for row in sensor_rows(now=now)}
    assert {zone: row.silent for zone, row in rows.items()} == dict(zip(ZONES[:3], (False, True, False), strict=True))
    assert {zone: row.waiting for zone, row in rows.items()} == dict(zip(ZONES[:3], (0, 0, NONSENSE), strict=True))
    assert set(Reading.objects.filter(out=True).values_list("flag", flat=True)) == {Flag.WILD}


ZONES = ("Bench hall", "Finishing room", "Filler room", "Yard")

from datetime import UTC, datetime

import pytest
from django.db.models import Model
from django.test import Client

from shop.models import RainFall, Reading, Sensor, WeatherDay, Zone
from shop.services.sensors import add_sensor
from tests.factories import the_shop_owner

pytestmark = pytest.mark.django_db

AT = datetime(2026, 6, 1, 8, tzinfo=UTC)
MODELS = (Sensor, Reading, RainFall, WeatherDay)


@pytest.fixture
def boss(client: Client) -> Client:
    zone = Zone.objects.create(name="Yard", outdoors=True)
    sensor, _ = add_sensor(name="Gauge", zone=zone, every_min=5, sends=True, by=None)
    Reading.objects.create(zone=zone, sensor=sensor, at=AT, air_c=20, rh_pct=50, flag="wild", out=True)
    RainFall.objects.create(sensor=sensor, at=AT, rain_mm=0.4)
    WeatherDay.objects.create(zone=zone, day=AT.date(), dry=False, rain_mm=0.4)
    client.force_login(the_shop_owner())
    return client


@pytest.mark.parametrize(
    ("model", "shows"), [(Sensor, "Gauge"), (Reading, "Yard"), (RainFall, "Gauge"), (WeatherDay, "Yard")]
)
def test_what_sensors_sent_is_shown_and_never_touched(boss: Client, model: type[Model], shows: str) -> None:
    name = model._meta.model_name
    page = boss.get(f"/admin/shop/{name}/")
    assert page.status_code == 200
    assert shows in page.content.decode()
    assert boss.get(f"/admin/shop/{name}/add/").status_code == 403
    row = model._default_manager.get()
    assert boss.post(f"/admin/shop/{name}/{row.pk}/delete/", {"post": "yes"}).status_code == 403
    assert boss.post(f"/admin/shop/{name}/{row.pk}/change/", {}).status_code == 403
    assert [model._default_manager.count() for model in MODELS] == [1, 1, 1, 1]


def test_the_digest_of_a_token_is_not_shown(boss: Client) -> None:
    sensor = Sensor.objects.get()
    page = boss.get(f"/admin/shop/sensor/{sensor.pk}/change/").content.decode()
    assert "Gauge" in page
    assert str(sensor.token_digest) not in page

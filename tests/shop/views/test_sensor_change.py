import re
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from shop.models import Flag, Pulse, Reading, Role, Sensor, SensorMove, Shop, Zone
from shop.readings.ingest import take_in
from shop.readings.sample import Sample
from shop.services.sensors import add_sensor, decide
from stages.queries.airs import KeptAir, fresh_airs
from tests.factories import a_crew_member, the_shop_owner

pytestmark = pytest.mark.django_db

NOW = timezone.now().replace(second=0, microsecond=0)


def ago(hours: float) -> datetime:
    return NOW - timedelta(hours=hours)


@pytest.fixture
def boss(client: Client) -> Client:
    Shop.objects.create(pk=1, time_zone="UTC")
    client.force_login(the_shop_owner())
    return client


@pytest.fixture
def sensor() -> Sensor:
    Zone.objects.create(name="Shed")
    return add_sensor(name="Post", zone=Zone.objects.create(name="Loft"), every_min=5, sends=True, by=None)[0]


def change(client: Client, sensor: Sensor, **fields: Any) -> Any:
    held = {"name": "Post", "zone": sensor.zone_id, "at": "", "every_min": 5, "unit": ""}
    return client.post(f"/sensors/{sensor.pk}/", {**held, **fields})


def shed() -> Zone:
    return Zone.objects.get(name="Shed")


def written(at: datetime) -> str:
    return at.strftime("%Y-%m-%dT%H:%M")


def read(sensor: Sensor, *hours_ago: float, air_c: float = 20.0) -> None:
    air = [Sample(at=ago(h), air_c=air_c + h % 2 / 2, rh_pct=50 + 3 * (h % 2)) for h in hours_ago]
    take_in(sensor=Sensor.objects.get(pk=sensor.pk), now=NOW, air=air)


def zones() -> dict[int, str]:
    rows = Reading.objects.values_list("at", "zone__name")
    return {round((NOW - at) / timedelta(hours=1)): name for at, name in rows}


def words(response: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", response.content.decode())).split())


def test_the_form_shows_what_is_known_of_the_sensor(boss: Client, sensor: Sensor) -> None:
    response = boss.get(f"/sensors/{sensor.pk}/")
    assert response.status_code == 200
    assert 'value="Post"' in response.content.decode()


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
def test_it_is_the_shop_owners(client: Client, sensor: Sensor, role: Role) -> None:
    client.force_login(a_crew_member("other", role))
    assert client.get(f"/sensors/{sensor.pk}/").status_code == 403
    assert change(client, sensor, name="Mine").status_code == 403
    assert Sensor.objects.get().name == "Post"


def test_other_methods_and_unknown_sensors_are_refused(boss: Client, sensor: Sensor) -> None:
    assert boss.put(f"/sensors/{sensor.pk}/").status_code == 405
    assert boss.get("/sensors/99/").status_code == 404


def test_name_interval_and_unit_are_changed_and_nothing_moves(boss: Client, sensor: Sensor) -> None:
    response = change(boss, sensor, name="Pole", every_min=30, unit="f")
    assert (response.status_code, response["Location"]) == (302, "/sensors/")
    held = Sensor.objects.get()
    assert (held.name, held.every_min, held.unit, held.zone.name) == ("Pole", 30, "f", "Loft")
    assert not SensorMove.objects.exists()


def test_from_a_moment_on_its_readings_are_those_of_another_zone(boss: Client, sensor: Sensor) -> None:
    read(sensor, 6, 5, 3, 2)
    assert change(boss, sensor, zone=shed().pk, at=written(ago(4))).status_code == 302
    read(sensor, 4.5, 1)
    assert zones() == {6: "Loft", 5: "Loft", 4: "Loft", 3: "Shed", 2: "Shed", 1: "Shed"}
    assert "Loft, until" in words(boss.get(f"/sensors/{sensor.pk}/"))
    assert SensorMove.objects.get().by == the_shop_owner()


def test_without_a_moment_it_moves_now(boss: Client, sensor: Sensor) -> None:
    read(sensor, 2, 1)
    change(boss, sensor, zone=shed().pk)
    assert set(zones().values()) == {"Loft"}
    assert Sensor.objects.get().zone == shed()


def test_sent_twice_it_moves_once(boss: Client, sensor: Sensor) -> None:
    for _ in range(2):
        change(boss, sensor, zone=shed().pk, at=written(ago(4)))
    assert SensorMove.objects.count() == 1
    assert Sensor.objects.get().zone == shed()


def test_it_may_come_back(boss: Client, sensor: Sensor) -> None:
    change(boss, sensor, zone=shed().pk, at=written(ago(4)))
    change(boss, sensor, at=written(ago(2)))
    read(sensor, 5, 3, 1)
    assert zones() == {5: "Loft", 3: "Shed", 1: "Loft"}


def test_the_clock_reads_the_zones_anew(boss: Client, sensor: Sensor) -> None:
    read(sensor, *range(12, 0, -1))
    kept = KeptAir()
    kept.under(Pulse.now())
    change(boss, sensor, zone=shed().pk, at=written(ago(6.5)))
    logs = {zone: len(log.seconds) for zone, log in kept.under(Pulse.now()).logs.items()}
    assert logs == {zone: len(log.seconds) for zone, log in fresh_airs().logs.items()}
    assert sorted(logs.values()) == [6, 6]


def test_in_another_room_the_air_need_not_go_on_from_where_it_was(boss: Client, sensor: Sensor) -> None:
    read(sensor, *(h / 4 for h in range(40, 20, -1)))
    read(sensor, *(h / 4 for h in range(20, 4, -1)), air_c=-9.0)
    assert Reading.objects.filter(flag=Flag.WILD, out=True).count() == 16
    change(boss, sensor, zone=shed().pk, at=written(ago(5)))
    assert not Reading.objects.filter(out=True).exists()
    assert Reading.objects.filter(zone=shed()).count() == 16


def test_what_was_decided_stays_decided_when_a_sensor_moves(boss: Client, sensor: Sensor) -> None:
    read(sensor, *(h / 4 for h in range(40, 20, -1)))
    read(sensor, 5, air_c=48.0)
    decide(sensor=sensor, flag=Flag.WILD, first=ago(6), last=NOW, take_in=False, by=the_shop_owner(), now=NOW)
    change(boss, sensor, zone=shed().pk, at=written(ago(5)))
    assert Reading.objects.get(flag=Flag.WILD).out


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": ""}, "required"),
        ({"zone": 999}, "valid choice"),
        ({"every_min": 0}, "greater than or equal to 1"),
        ({"unit": "k"}, "valid choice"),
        ({"at": "soon"}, "valid date"),
        ({"at": "2999-01-01T08:00"}, "has not come yet"),
    ],
)
def test_what_cannot_be_is_refused_beside_the_field(
    boss: Client, sensor: Sensor, fields: dict[str, object], said: str
) -> None:
    response = change(boss, sensor, **fields)
    assert response.status_code == 422
    assert said in words(response)
    assert (Sensor.objects.get().name, SensorMove.objects.exists()) == ("Post", False)


def test_a_move_before_the_last_one_is_refused_and_what_was_typed_stays(boss: Client, sensor: Sensor) -> None:
    change(boss, sensor, zone=shed().pk, at=written(ago(4)))
    response = change(boss, sensor, at=written(ago(5)))
    assert response.status_code == 422
    assert "say a later moment" in words(response)
    assert written(ago(5)) in response.content.decode()


def test_the_number_of_queries_does_not_hang_on_the_number_of_moves(
    boss: Client, sensor: Sensor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    boss.get(f"/sensors/{sensor.pk}/")
    for count in (1, 6):
        for n in range(count):
            SensorMove.objects.create(sensor=sensor, left=shed(), at=ago(count * 10 + n), by=the_shop_owner())
        with django_assert_num_queries(6):
            boss.get(f"/sensors/{sensor.pk}/")


def test_the_moment_is_by_the_shops_clock(boss: Client, sensor: Sensor) -> None:
    Shop.objects.update(time_zone="Asia/Tokyo")
    change(boss, sensor, zone=shed().pk, at="2026-03-01T08:30")
    assert SensorMove.objects.get().at == datetime(2026, 2, 28, 23, 30, tzinfo=UTC)

"""There is no door beside the engine: what services write is shown on the settings pages and never touched."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db.models import Model
from django.test import Client
from django.utils import timezone

from hulls.models import Enquiry, Estimate, Hull, Owner, Photo, ProgressLink
from shop.admin.site import site
from shop.models import (
    Charging,
    CrewMember,
    Job,
    Lot,
    Move,
    Movement,
    OrderLine,
    Pack,
    Planning,
    Product,
    RainFall,
    Reading,
    Sensor,
    SensorMove,
    Shop,
    Skill,
    Station,
    Supplier,
    WeatherDay,
    Zone,
)
from stages.audit import differences
from stages.models import CoatOn, Entry, HullWork, Route, StageState
from stages.services.links import renew_link
from tests.factories import a_shop, hand, product, station, the_shop_owner
from tests.settings_pages import act_on, address
from tests.stages.at_work import a_primed_hull
from tests.stages.charging import a_sent_estimate

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(the_shop_owner())
    return client


@pytest.fixture
def shop() -> Shop:
    return a_shop()


SHOWN_ONLY = [
    Entry,
    HullWork,
    StageState,
    CoatOn,
    Hull,
    Owner,
    Photo,
    ProgressLink,
    Estimate,
    Enquiry,
    Job,
    Reading,
    WeatherDay,
    Sensor,
    SensorMove,
    RainFall,
    OrderLine,
    Lot,
    Movement,
]


def something_of_everything() -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=4))
    renew_link(hull_id=hull.pk, hand=hand())
    Photo.objects.create(hull=hull, taken_at=timezone.now())
    Job.objects.create(key="work_photo:1", name="work_photo", due_at=timezone.now())
    gauge = Sensor.objects.create(name="Gauge", zone=station("yard").zone)
    SensorMove.objects.create(sensor=gauge, left=station("rack").zone, at=timezone.now())
    RainFall.objects.create(sensor=gauge, at=timezone.now(), rain_mm=0.2)
    Enquiry.objects.create(made_at=timezone.now(), name="Ada Reed", email="ada@example.org", token="t", digest="d")
    Shop.objects.update(hourly_rate=60)
    a_sent_estimate(hull)
    today, now, boss = timezone.localdate(), timezone.now(), hand().by
    WeatherDay.objects.create(zone=station("yard").zone, day=today, dry=True)
    can = Pack.objects.filter(product=product("primer"))[0]
    OrderLine.objects.create(client_id=uuid4(), pack=can, packs=1, ordered_on=today, expected_on=today, ordered_by=boss)
    lot = Lot.objects.create(product=can.product, pack=can, received_on=today, holds=can.amount)
    Movement.objects.create(lot=lot, kind=Move.IN, amount=can.amount, at=now, recorded_at=now, by=boss)


@pytest.mark.parametrize("model", SHOWN_ONLY)
def test_what_only_services_write_is_shown_and_never_touched(shop: Shop, owner: Client, model: type[Model]) -> None:
    something_of_everything()
    row = model._default_manager.all()[0]
    before = list(model._default_manager.order_by("pk").values())
    assert owner.get(address(model, "changelist")).status_code == 200
    page = owner.get(address(model, "change", row.pk))
    assert page.status_code == 200
    assert 'name="_save"' not in page.content.decode()
    for path in (address(model, "add"), address(model, "delete", row.pk)):
        assert owner.get(path).status_code == 403
        assert owner.post(path, {"post": "yes"}).status_code == 403
    assert owner.post(address(model, "change", row.pk), {"stage": "enamel", "facts": "{}"}).status_code == 403
    act_on(owner, "delete_selected", row)
    assert list(model._default_manager.order_by("pk").values()) == before
    assert list(differences()) == []


def test_every_table_of_the_settings_is_either_shown_only_or_known_to_be_changed_there() -> None:
    changed_there = {Shop, Charging, Planning, Zone, Station, Product, Supplier, CrewMember, Skill, Route}
    assert set(site._registry) == {*SHOWN_ONLY, *changed_there}

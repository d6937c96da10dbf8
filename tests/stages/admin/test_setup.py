"""Zones, stations and products on the settings pages: the stamp of the set-up, and what the log names."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from shop.models import Product, Pulse, Shop, Station, Zone
from tests.answers import Answer
from tests.factories import a_shop, product, station, the_shop_owner
from tests.settings_pages import act_on, address, filled
from tests.stages.at_work import a_hull_at, a_primed_hull

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(the_shop_owner())
    return client


@pytest.fixture
def shop() -> Shop:
    return a_shop()


def stamp() -> str:
    return Pulse.objects.get(pk=1).setup


def test_whatever_is_changed_of_the_set_up_changes_its_stamp(shop: Shop, owner: Client) -> None:
    stamps = [stamp()]

    def changed(response: Answer) -> None:
        assert response.status_code == 302
        stamps.append(stamp())

    changed(owner.post(address(Zone, "add"), {"name": "Loft"}))
    loft = Zone.objects.get(name="Loft")
    changed(owner.post(address(Zone, "change", loft.pk), {"name": "Loft, upstairs"}))
    new = {"name": "Loft rack", "kind": "rack", "zone": loft.pk, "places": 3, "position": 20}
    changed(owner.post(address(Station, "add"), new))
    rack = Station.objects.get(name="Loft rack")
    changed(act_on(owner, "out_of_use", product("oil"), product("enamel")))
    changed(act_on(owner, "into_use", product("oil")))
    deletion = {"action": "delete_selected", "_selected_action": [rack.pk], "post": "yes"}
    changed(owner.post(address(Station, "changelist"), deletion))
    changed(owner.post(address(Zone, "delete", loft.pk), {"post": "yes"}))
    shop_now = filled(owner.get(address(Shop, "change", 1)))
    other = {**shop_now, "name": "Other", "time_zone": "Europe/Paris", "units": "us"}
    changed(owner.post(address(Shop, "change", 1), other))
    assert len(set(stamps)) == len(stamps)
    assert not Product.objects.get(kind="enamel").active
    assert Product.objects.get(kind="oil", usual=True).active
    assert not Station.objects.filter(pk=rack.pk).exists()


def test_places_changed_in_the_list_change_the_stamp(shop: Shop, owner: Client) -> None:
    page = owner.get(address(Station, "changelist"))
    formset = page.context["cl"].formset
    data = {bound.html_name: bound.value() for form in formset.forms for bound in form}
    data |= {bound.html_name: bound.value() for bound in formset.management_form}
    before = stamp()
    assert owner.post(address(Station, "changelist"), data | {"form-0-places": 7, "_save": "Save"}).status_code == 302
    assert stamp() != before
    assert 7 in Station.objects.values_list("places", flat=True)


def test_a_closed_list_of_places_is_refused(shop: Shop, owner: Client) -> None:
    page = owner.get(address(Station, "changelist"))
    formset = page.context["cl"].formset
    data = {bound.html_name: bound.value() for form in formset.forms for bound in form}
    data |= {bound.html_name: bound.value() for bound in formset.management_form}
    for wrong in (0, 401, -1, "many"):
        response = owner.post(address(Station, "changelist"), data | {"form-0-places": wrong, "_save": "Save"})
        assert response.status_code == 200
        assert "errorlist" in response.content.decode()
    assert set(Station.objects.values_list("places", flat=True)) == {2}


def test_a_station_a_zone_and_a_product_that_the_log_names_stay(shop: Shop, owner: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=4))
    a_hull_at("rack", "H-2")
    for row in (station("finishing"), station("rack"), station("finishing").zone, product("primer")):
        assert owner.post(address(type(row), "delete", row.pk), {"post": "yes"}).status_code == 403
        row.refresh_from_db()


def test_what_a_used_product_is_for_stays_while_its_label_can_be_put_right(shop: Shop, owner: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=4))
    primer = product("primer")
    data = filled(owner.get(address(Product, "change", primer.pk)))
    assert "kind" not in data
    assert owner.post(address(Product, "change", primer.pk), data | {"kind": "enamel", "sand_h": 20}).status_code == 302
    primer.refresh_from_db()
    assert (primer.kind, primer.sand_h) == ("primer", 20)


def test_only_one_product_is_the_usual_one_of_its_kind(shop: Shop, owner: Client) -> None:
    other = Product.objects.get(name="Oil varnish, thinned by half")
    data = filled(owner.get(address(Product, "change", other.pk)))
    response = owner.post(address(Product, "change", other.pk), data | {"usual": "on"})
    page = response.content.decode()
    assert "“Boiled linseed oil, thinned” is the usual one" in page
    assert "one_usual_product_of_a_kind" not in page
    assert not Product.objects.get(pk=other.pk).usual

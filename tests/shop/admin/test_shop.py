"""The shop's own settings."""

import pytest
from django.test import Client

from shop.models import Shop
from tests.factories import a_shop, the_shop_owner
from tests.settings_pages import address, filled

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner(client: Client) -> Client:
    client.force_login(the_shop_owner())
    return client


@pytest.fixture
def shop() -> Shop:
    return a_shop()


def test_there_is_one_shop_and_its_list_is_its_form(shop: Shop, owner: Client) -> None:
    assert owner.get(address(Shop, "changelist"))["Location"] == address(Shop, "change", 1)
    assert owner.get(address(Shop, "add")).status_code == 403
    assert owner.post(address(Shop, "delete", 1), {"post": "yes"}).status_code == 403


def test_before_it_is_set_up_the_list_leads_to_the_form_that_makes_it(owner: Client) -> None:
    assert owner.get(address(Shop, "changelist"))["Location"] == address(Shop, "add")
    blank = filled(owner.get(address(Shop, "add")))
    data = {**blank, "name": "Alder Landing", "time_zone": "America/Toronto", "units": "metric"}
    assert owner.post(address(Shop, "add"), data).status_code == 302
    assert Shop.objects.get(pk=1).name == "Alder Landing"


def test_a_time_zone_that_is_none_is_refused(shop: Shop, owner: Client) -> None:
    data = {"name": "The test shop", "time_zone": "Canoe/Bay", "units": "metric"}
    assert "Select a valid choice" in owner.post(address(Shop, "change", 1), data).content.decode()
    shop.refresh_from_db()
    assert shop.time_zone == "UTC"

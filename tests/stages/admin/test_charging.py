"""The page of the shop's money: its currency stays once a paper or a payment holds it."""

import pytest
from django.test import Client

from shop.models import Charging, Shop
from tests.factories import the_shop_owner
from tests.settings_pages import address, filled
from tests.stages.billing import paid_in
from tests.stages.charging import a_sent_estimate, a_shop_that_charges, a_surveyed_hull

pytestmark = pytest.mark.django_db


def asked_for(client: Client, currency: str) -> tuple[int, str]:
    """Ask for another currency on the page; give the answer and the shop's currency after it."""
    page = address(Charging, "change", 1)
    answer = client.post(page, filled(client.get(page)) | {"currency": currency})
    if answer.status_code == 200:
        assert "on record in EUR, so it stays" in answer.content.decode()
    return answer.status_code, Shop.objects.get(pk=1).currency


@pytest.mark.parametrize("held", ["estimate", "payment"])
def test_the_currency_stays_once_money_is_on_record(client: Client, held: str) -> None:
    a_shop_that_charges()
    client.force_login(the_shop_owner())
    hull = a_surveyed_hull()
    if held == "payment":
        paid_in(hull, "100")
    else:
        a_sent_estimate(hull)
    assert asked_for(client, "JPY") == (200, "EUR")
    assert asked_for(client, "EUR") == (302, "EUR")


def test_before_that_it_is_the_shop_s_choice(client: Client) -> None:
    a_shop_that_charges()
    client.force_login(the_shop_owner())
    assert asked_for(client, "JPY") == (302, "JPY")

"""The form of a product: what it refuses beside the field, and that it sends back what it showed."""

from typing import Any

import pytest
from django.test import Client

from shop.models import Product
from tests.factories import a_crew_member, a_shop, product, the_shop_owner

pytestmark = pytest.mark.django_db


def form_of(client: Client, row: Product) -> dict[str, Any]:
    """The form of a product as a browser would send it back."""
    page = client.get(f"/admin/shop/product/{row.pk}/change/").context
    packs = page["inline_admin_formsets"][0].formset
    fields = [field for form in (page["adminform"].form, packs.management_form, *packs.forms) for field in form]
    shown = {field.html_name: field.value() for field in fields}
    return {name: "" if value is None or value is False else value for name, value in shown.items()}


@pytest.fixture
def owner(client: Client) -> Client:
    a_shop()
    boss = the_shop_owner()
    boss.is_staff = True
    boss.save()
    client.force_login(boss)
    return client


def test_the_form_sent_back_as_it_came_changes_nothing(owner: Client) -> None:
    primer = product("primer")
    primer.label_table = [[10, 36], [23, 16]]
    primer.save()
    before = Product.objects.values().get(pk=primer.pk)
    sent = form_of(owner, primer)
    assert sent["label_table"] == "10 °C: 36 h, 23 °C: 16 h"
    response = owner.post(f"/admin/shop/product/{primer.pk}/change/", sent)
    assert response.status_code == 302, response.context["errors"]
    assert Product.objects.values().get(pk=primer.pk) == before


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("window_h", "16", "closes after it opens"),
        ("label_table", "10 °C: long", "Write each pair like"),
        ("label_table", "10 °C: 36 h, 10 °C: 30 h", "one temperature twice"),
        ("solvent_molar_g", "", "cannot be reckoned without it"),
        ("data_sheet", "the label", "Enter a valid URL"),
        ("data_sheet", "javascript:alert(1)", "Enter a valid URL"),
        ("packs-0-amount", "0", "greater than or equal to 0.001"),
        ("packs-0-amount", "-1", "greater than or equal to 0.001"),
        ("packs-0-amount", "0.9465", "no more than 3 decimal places"),
        ("packs-0-price", "0", "greater than or equal to 0.01"),
        ("packs-0-price", "-12.50", "greater than or equal to 0.01"),
        ("packs-0-price", "12.505", "no more than 2 decimal places"),
        ("family", "", "when the next coat may go on"),
        ("recoat_h", "", "when the next coat may go on"),
    ],
)
def test_a_label_that_cannot_be_is_refused_beside_its_field(owner: Client, field: str, typed: str, words: str) -> None:
    primer = product("primer")
    response = owner.post(f"/admin/shop/product/{primer.pk}/change/", {**form_of(owner, primer), field: typed})
    assert response.status_code == 200
    assert words in response.content.decode()


def test_the_crew_may_not_change_products(client: Client) -> None:
    a_shop()
    client.force_login(a_crew_member())
    assert client.get(f"/admin/shop/product/{product('primer').pk}/change/").status_code == 302

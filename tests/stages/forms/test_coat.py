"""The form of a coat where the stores hold its product: the can and the amount are proposed, and stay with one tap."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.test import Client

from shop.models import Lot, Product
from stages.models import Entry
from tests.factories import a_crew_member, a_shop
from tests.shelves import cans, count, holds
from tests.stages.at_work import a_primed_hull

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)
FORM = re.compile(r'<form id="do-coat-prime".*?</form>', re.DOTALL)
FIELD = re.compile(r'<input type="(?:text|hidden)" name="([^"]+)"(?: value="([^"]*)")?')
PICKED = re.compile(r'<select name="([^"]+)".*?</select>', re.DOTALL)


@pytest.fixture
def crew(client: Client) -> Iterator[Client]:
    with time_machine.travel(NOON, tick=False):
        a_shop()
        a_primed_hull("H-8", coat_at=NOON - timedelta(hours=30))
        client.force_login(a_crew_member())
        sent = {"client_id": uuid4(), "about": "prime", "stage": "prime", "surface": "skin"}
        assert client.post("/hulls/H-8/do/sand/", sent).status_code == 303
        yield client


def form_of(client: Client) -> str:
    found = FORM.search(client.get("/hulls/H-8/").content.decode())
    assert found
    return found[0]


def shown(client: Client) -> dict[str, str]:
    """What a browser sends when nobody touches the form."""
    html = form_of(client)
    sent = {name: unescape(value) for name, value in FIELD.findall(html)}
    for select in PICKED.finditer(html):
        chosen = re.search(r'value="([^"]*)" selected', select[0])
        sent[select[1]] = chosen[1] if chosen else ""
    return sent


def send(client: Client, **changed: Any) -> Any:
    return client.post("/hulls/H-8/do/coat/", {**shown(client), **changed})


def the_coat() -> dict[str, Any]:
    details: dict[str, Any] = Entry.objects.filter(kind="coat").latest("number").details
    return details


def test_without_stores_no_can_is_asked_for(crew: Client) -> None:
    html = form_of(crew)
    assert "from_lot" not in html
    assert "Used of the pot" in html


def test_one_tap_draws_what_was_proposed_from_the_open_can(crew: Client) -> None:
    full, started = cans(packs=2)
    count(started, "0.700")
    Lot.objects.filter(pk=started.pk).update(opened_at=NOON - timedelta(days=9))
    assert "open, 700 mL left" in form_of(crew)
    proposed = shown(crew)
    assert proposed["from_lot"] == str(started.pk)
    assert send(crew).status_code == 303
    litres = float(proposed["litres"].removesuffix(" mL")) / 1000
    assert float(Decimal("0.700") - holds(started)) == pytest.approx(litres)
    assert holds(full) == Decimal("0.946")
    assert the_coat()["measured"] is False


def test_what_somebody_measured_is_kept_as_measured(crew: Client) -> None:
    (can,) = cans()
    assert send(crew, litres="300 mL").status_code == 303
    assert holds(can) == Decimal("0.646")
    assert the_coat()["measured"] is True


def test_another_product_leaves_the_proposed_can_and_amount_behind(crew: Client) -> None:
    (can,) = cans()
    other = Product.objects.create(
        name="Other primer", kind="primer", family="oxidative", recoat_h=16.0, oil_based=True
    )
    assert send(crew, product=other.pk).status_code == 303
    assert holds(can) == Decimal("0.946")
    assert "drawn" not in the_coat()


def test_a_can_of_another_product_is_refused_beside_the_field(crew: Client) -> None:
    cans()
    second = cans()[0]
    other = Product.objects.create(
        name="Other primer", kind="primer", family="oxidative", recoat_h=16.0, oil_based=True
    )
    response = send(crew, product=other.pk, from_lot=second.pk)
    assert response.status_code == 422
    assert "That can holds High-build primer, alkyd." in unescape(response.content.decode())


def test_a_coat_that_takes_more_than_there_is_is_refused_with_what_was_typed(crew: Client) -> None:
    (can,) = cans()
    response = send(crew, litres="1 L")
    assert response.status_code == 422
    html = unescape(response.content.decode())
    assert "The stores hold 946 mL of High-build primer, alkyd in date, and this takes 1.00 L." in html
    assert 'value="1 L"' in html
    assert holds(can) == Decimal("0.946")


def test_cans_that_are_empty_or_out_of_date_are_not_offered(crew: Client) -> None:
    empty, good = cans(packs=2)
    count(empty, "0")
    past = cans(received_on=NOON.date() - timedelta(days=90), use_by=NOON.date() - timedelta(days=1))[0]
    options = re.findall(r'<option value="(\d+)"', form_of(crew).split('name="from_lot"')[1].split("</select>")[0])
    assert options == [str(good.pk)]
    assert str(past.pk) not in options

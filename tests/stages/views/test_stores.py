"""The pages of the stores: what is shown, what came, what is done to a can, and what is refused beside its field."""

from datetime import timedelta
from decimal import Decimal
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.models import Lot, Movement, OrderLine, Product
from shop.services import stores
from stages.audit import differences
from tests.answers import Answer
from tests.factories import a_crew_member, a_shop, hand
from tests.shelves import a_pack, cans, holds

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def an_order(packs: int = 3, days: int = 4) -> OrderLine:
    today = timezone.localdate()
    return stores.place_order(
        pack=a_pack(price=Decimal("41.50")),
        packs=packs,
        ordered_on=today,
        expected_on=today + timedelta(days=days),
        by=hand().by,
        client_id=uuid4(),
    )


def send(client: Client, path: str, **fields: Any) -> Answer:
    return client.post(path, {"client_id": uuid4(), **fields})


def words(response: Any) -> str:
    return unescape(response.content.decode())


def an_arrival(**changed: Any) -> dict[str, Any]:
    return {"packs": 1, "received_on": timezone.localdate().isoformat(), **changed}


def test_the_shelves_show_what_is_left_in_date_and_what_is_on_its_way(crew: Client) -> None:
    cans(packs=2)
    cans(received_on=timezone.localdate() - timedelta(days=90), use_by=timezone.localdate() - timedelta(days=1))
    an_order()
    html = words(crew.get("/stores/"))
    assert "1.89 L" in html
    assert "was good until" in html
    assert "3 × can of 0.946" in html
    assert "On order: 2.84 L" in html


def test_a_late_order_is_called_late(crew: Client) -> None:
    order = an_order()
    OrderLine.objects.filter(pk=order.pk).update(expected_on=timezone.localdate() - timedelta(days=2))
    assert "should have been here" in words(crew.get("/stores/"))


def test_empty_stores_say_how_they_begin(crew: Client) -> None:
    assert "Nothing is counted here yet." in words(crew.get("/stores/"))


def test_packs_that_came_stand_on_the_shelf(crew: Client) -> None:
    pack = a_pack(price=Decimal("41.50"))
    told = an_arrival(pack=pack.pk, packs=2, label="B-17", use_by=timezone.localdate() + timedelta(days=300))
    assert send(crew, "/stores/take-in/", **told).status_code == 302
    assert [(lot.holds, lot.cost, lot.label) for lot in Lot.objects.all()] == [
        (Decimal("0.946"), Decimal("41.50"), "B-17")
    ] * 2


def test_the_same_arrival_sent_twice_came_once(crew: Client) -> None:
    told = {**an_arrival(pack=a_pack().pk), "client_id": uuid4()}
    for _again in range(2):
        assert crew.post("/stores/take-in/", told).status_code == 302
    assert Lot.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "typed", "refusal"),
    [
        ("packs", "0", "greater than or equal to 1"),
        ("packs", "100", "From 1 to 99 packs at once."),
        ("packs", "-3", "greater than or equal to 1"),
        ("pack", "999999", "Select a valid choice"),
        ("use_by", "2020-01-01", "out of date before it came in"),
        ("received_on", "2199-01-01", "That day has not come yet."),
        ("unit_price", "0", "greater than or equal to 0.01"),
        ("unit_price", "-5", "greater than or equal to 0.01"),
        ("unit_price", "41.505", "no more than 2 decimal places"),
        ("label", "x" * 41, "at most 40 characters"),
    ],
)
def test_an_arrival_that_cannot_be_is_refused_beside_its_field(
    crew: Client, field: str, typed: str, refusal: str
) -> None:
    response = send(crew, "/stores/take-in/", **an_arrival(pack=a_pack().pk, label="B-17") | {field: typed})
    assert response.status_code == 422
    html = words(response)
    assert refusal in html.split(f'id="in-{field}_error"')[1].split("</ul>")[0]
    assert typed in html or field == "pack"
    assert not Lot.objects.exists()


def test_an_order_comes_in_two_parts(crew: Client) -> None:
    order = an_order(packs=3)
    path = f"/stores/orders/{order.pk}/receive/"
    assert send(crew, path, **an_arrival(packs=2)).status_code == 302
    assert OrderLine.objects.get().to_come == 1
    response = send(crew, path, **an_arrival(packs=2))
    assert response.status_code == 422
    assert "Only 1 of this order are still to come." in words(response)
    assert send(crew, path, **an_arrival(packs=1)).status_code == 302
    assert Lot.objects.filter(order=order).count() == 3
    assert list(differences()) == []


def test_the_rest_of_an_order_is_given_up_with_a_reason(crew: Client) -> None:
    order = an_order()
    path = f"/stores/orders/{order.pk}/close/"
    assert send(crew, path, reason=" ").status_code == 422
    assert send(crew, path, reason="no longer made").status_code == 302
    assert OrderLine.objects.get().to_come == 0


def test_a_heap_is_one_lot_and_every_can_its_own(crew: Client) -> None:
    sheets = Product.objects.get(kind="abrasive", usual=True)
    pack = sheets.packs.all()[0]
    assert send(crew, "/stores/take-in/", **an_arrival(pack=pack.pk, packs=3)).status_code == 302
    assert [lot.holds for lot in Lot.objects.all()] == [3 * pack.amount]


def test_a_can_tells_its_history(crew: Client) -> None:
    (can,) = cans(label="B-17")
    assert send(crew, f"/stores/lots/{can.pk}/count/", amount="900 mL", reason="weighed").status_code == 302
    assert send(crew, f"/stores/lots/{can.pk}/use/", amount="100 mL", reason="a paddle").status_code == 302
    html = words(crew.get(f"/stores/lots/{can.pk}/"))
    assert "800 mL" in html
    assert "\N{MINUS SIGN}46 mL" in html
    assert "a paddle" in html
    assert "Solvent fumes" in html
    assert list(differences()) == []


@pytest.mark.parametrize(
    ("deed", "field", "typed", "refusal"),
    [
        ("count", "amount", "1 L", "It holds from 0 to 0.946 L."),
        ("count", "amount", "-1 L", "negative"),
        ("count", "amount", "350", "no unit"),
        ("count", "reason", "", "required"),
        ("use", "amount", "947 mL", "Only 0.946 L are left in it."),
        ("use", "amount", "0 L", "more than nothing"),
        ("throw", "reason", "", "required"),
        ("throw", "reason", "x" * 201, "at most 200 characters"),
    ],
)
def test_what_a_can_does_not_hold_is_refused_beside_its_field(
    crew: Client, deed: str, field: str, typed: str, refusal: str
) -> None:
    (can,) = cans()
    told = {"amount": "100 mL", "reason": "weighed"} | {field: typed}
    response = send(crew, f"/stores/lots/{can.pk}/{deed}/", **told)
    assert response.status_code == 422
    assert refusal in words(response).split(f'id="{deed}-{field}_error"')[1].split("</ul>")[0]
    assert holds(can) == Decimal("0.946")


@pytest.mark.parametrize(("amount", "left"), [("946 mL", "0.000"), ("945 mL", "0.001")])
def test_all_of_a_can_may_be_taken_out(crew: Client, amount: str, left: str) -> None:
    (can,) = cans()
    assert send(crew, f"/stores/lots/{can.pk}/use/", amount=amount, reason="a paddle").status_code == 302
    assert holds(can) == Decimal(left)


def test_a_can_is_opened_stirred_and_thrown_away(crew: Client) -> None:
    (can,) = cans()
    for deed in ("open", "shake"):
        assert send(crew, f"/stores/lots/{can.pk}/{deed}/").status_code == 302
    lot = Lot.objects.get(pk=can.pk)
    assert lot.opened_at is not None
    assert lot.shaken_at is not None
    assert send(crew, f"/stores/lots/{can.pk}/throw/", reason="skinned over").status_code == 302
    assert holds(can) == 0
    assert list(differences()) == []


def test_a_count_sent_twice_counts_once(crew: Client) -> None:
    (can,) = cans()
    told = {"client_id": uuid4(), "amount": "900 mL", "reason": "weighed"}
    for _again in range(2):
        assert crew.post(f"/stores/lots/{can.pk}/count/", told).status_code == 302
    assert Movement.objects.filter(kind="counted").count() == 1


def test_what_is_not_there_is_not_found(crew: Client) -> None:
    (can,) = cans()
    order = an_order()
    assert crew.get("/stores/lots/999999/").status_code == 404
    for path in (
        "/stores/lots/999999/count/",
        f"/stores/lots/{can.pk}/paint/",
        "/stores/orders/999999/receive/",
        f"/stores/orders/{order.pk}/paint/",
    ):
        assert send(crew, path).status_code == 404


def test_the_number_of_queries_does_not_grow_with_the_cans(crew: Client) -> None:
    cans()
    counts = []
    for _size in range(2):
        crew.get("/stores/")  # a new pack has the set-up read anew
        with CaptureQueriesContext(connection) as asked:
            crew.get("/stores/")
        counts.append(len(asked))
        cans(packs=12)
        cans("varnish", packs=5)
    assert counts[0] == counts[1]

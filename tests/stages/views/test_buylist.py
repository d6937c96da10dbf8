"""The buy list as a page and as a command: needs less stores less orders, in packs, by supplier, with its days."""

import json
from datetime import date, timedelta
from decimal import Decimal
from html import unescape
from io import StringIO
from typing import Any
from uuid import uuid4

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from hulls.models import Hull
from hulls.sizes import outside_area_m2
from shop.models import OrderLine, Pack, Product, Shop, Supplier
from shop.services import stores
from stages.models import HullWork
from stages.services import bench
from tests.factories import a_crew_member, a_hull, a_shop, hand, product
from tests.shelves import cans

pytestmark = pytest.mark.django_db
LEAD_DAYS = 5
GALLON, QUART = Decimal("3.785"), Decimal("0.946")


@pytest.fixture
def crew(client: Client) -> Client:
    """A shop that counts nothing but its enamel."""
    a_shop()
    Product.objects.exclude(kind="enamel").update(counted=False)
    Shop.objects.update(currency="EUR")
    chandler = Supplier.objects.create(name="The chandlery", lead_days=LEAD_DAYS)
    enamel = Pack.objects.filter(product=product("enamel"))
    enamel.filter(amount=GALLON).update(supplier=chandler, price=Decimal("180.00"))
    enamel.filter(amount=QUART).update(supplier=chandler, price=Decimal("60.00"))
    enamel.exclude(amount__in=(GALLON, QUART)).delete()
    client.force_login(a_crew_member())
    return client


def only_enamel(hull: Hull) -> Hull:
    for spec in HullWork.objects.get(hull=hull).route.stages.exclude(key__in=("enamel", "hand_over")):
        bench.leave_out(hull_id=hull.pk, stage=spec.key, reason="only this is looked at", hand=hand())
    return hull


def needed_l(hull: Hull) -> float:
    """Three coats: area over the label's rate, a tenth lost; the arithmetic of spreading rates, done by hand."""
    rate = product("enamel").spread_m2_per_unit
    assert rate
    return 3 * outside_area_m2(hull) / rate / 0.9


def as_json(*options: str) -> dict[str, Any]:
    out = StringIO()
    call_command("buylist", "--json", *options, stdout=out)
    found: dict[str, Any] = json.loads(out.getvalue())
    return found


def lines(found: dict[str, Any]) -> list[dict[str, Any]]:
    return [line for supplier in found["suppliers"] for line in supplier["lines"]]


def test_one_hull_s_enamel_is_bought_in_the_cheapest_packs(crew: Client) -> None:
    hull = only_enamel(a_hull())
    need = needed_l(hull)
    assert 0.946 < need < 1.892  # so two quarts do, and cost less than a gallon
    found = as_json()
    assert found["suppliers"][0]["supplier"] == "The chandlery"
    (line,) = lines(found)
    assert (line["pack"], line["packs"], line["hulls"]) == ("1 US qt can", 2, ["H-1"])
    assert line["missing"] == pytest.approx(need, abs=0.001)
    assert line["cost"] == found["cost"] == "120.00"
    by, order_by = date.fromisoformat(line["by"]), date.fromisoformat(line["order_by"])
    assert by - order_by == timedelta(days=LEAD_DAYS)
    assert by >= timezone.localdate()


def test_what_the_stores_hold_in_date_is_not_bought(crew: Client) -> None:
    hull = only_enamel(a_hull())
    cans("enamel", amount=str(round(needed_l(hull) - 0.5, 3)))
    today = timezone.localdate()
    cans("enamel", amount="5", received_on=today - timedelta(days=90), use_by=today - timedelta(days=1))
    (line,) = lines(as_json())
    assert line["packs"] == 1
    assert line["missing"] == pytest.approx(0.5, abs=0.002)


def test_what_is_on_order_is_not_bought_again(crew: Client) -> None:
    only_enamel(a_hull())
    today = timezone.localdate()
    pack = Pack.objects.get(product=product("enamel"), amount=QUART)
    here = today + timedelta(days=3)
    order = stores.place_order(pack=pack, packs=2, ordered_on=today, expected_on=here, by=hand().by, client_id=uuid4())
    assert as_json()["suppliers"] == []
    stores.close_order(order=order, reason="no longer made", now=timezone.now())
    assert len(lines(as_json())) == 1


def test_an_order_that_comes_after_its_day_is_told_and_not_bought_again(crew: Client) -> None:
    only_enamel(a_hull())
    (line,) = lines(as_json())
    today, needed = timezone.localdate(), date.fromisoformat(line["by"])
    pack = Pack.objects.get(product=product("enamel"), amount=QUART)
    here = needed + timedelta(days=1)
    order = stores.place_order(pack=pack, packs=2, ordered_on=today, expected_on=here, by=hand().by, client_id=uuid4())
    found = as_json()
    assert found["suppliers"] == []
    (late,) = found["late"]
    assert (late["expected"], late["by"], late["hulls"]) == (here.isoformat(), needed.isoformat(), ["H-1"])
    assert "On order, but late" in crew.get(reverse("buylist")).content.decode()
    OrderLine.objects.filter(pk=order.pk).update(expected_on=needed)
    assert as_json()["late"] == []
    OrderLine.objects.filter(pk=order.pk).update(ordered_on=today, expected_on=today - timedelta(days=1))
    assert "should have been here" in crew.get(reverse("buylist")).content.decode()


def test_what_cannot_come_in_time_says_when_it_could(crew: Client) -> None:
    only_enamel(a_hull())
    (line,) = lines(as_json())
    here = timezone.localdate() + timedelta(days=LEAD_DAYS)
    assert line["here_on"] == here.isoformat() > line["by"]
    assert "at the earliest" in crew.get(reverse("buylist")).content.decode()


def test_a_day_leaves_out_what_is_needed_later(crew: Client) -> None:
    only_enamel(a_hull())
    (line,) = lines(as_json())
    day_before = date.fromisoformat(line["by"]) - timedelta(days=1)
    assert as_json("--until", day_before.isoformat())["suppliers"] == []
    assert len(lines(as_json("--until", line["by"]))) == 1
    with pytest.raises(CommandError, match="not a day"):
        as_json("--until", "soon")


def test_what_comes_in_no_pack_is_named_with_its_hulls(crew: Client) -> None:
    only_enamel(a_hull())
    Pack.objects.filter(product=product("enamel")).delete()
    found = as_json()
    assert found["suppliers"] == []
    assert [(bare["product"], bare["hulls"]) for bare in found["no_pack"]] == [(product("enamel").name, ["H-1"])]


def test_a_pack_without_a_price_is_bought_and_said_to_have_none(crew: Client) -> None:
    only_enamel(a_hull())
    Pack.objects.filter(product=product("enamel")).update(price=None)
    found = as_json()
    assert {line["cost"] for line in lines(found)} == {None}
    assert found["without_price"] == len(lines(found))


def test_a_whole_hull_needs_every_coating_of_its_plan_and_what_goes_with_them(crew: Client) -> None:
    for row in Product.objects.all():
        row.counted = True
        row.save()
    a_hull()
    found = as_json()
    bought = {line["product"] for line in lines(found)}
    wanted = {
        product(kind).name
        for kind in ("oil", "canvas", "preservative", "primer", "enamel", "varnish", "tacks", "solvent", "bedding")
    }
    assert wanted <= bought


def test_the_table_can_be_read(crew: Client) -> None:
    only_enamel(a_hull())
    out = StringIO()
    call_command("buylist", stdout=out)
    assert "The chandlery" in out.getvalue()
    assert "2 x 1 US qt can" in out.getvalue()
    HullWork.objects.update(handed_over_at=timezone.now())
    out = StringIO()
    call_command("buylist", stdout=out)
    assert out.getvalue().strip() == "Nothing needs to be bought."


def page(client: Client, path: str = "/stores/buy/") -> str:
    response = client.get(path)
    assert response.status_code == 200
    return unescape(response.content.decode())


def test_the_page_shows_the_list_and_writes_an_order_down(crew: Client) -> None:
    only_enamel(a_hull())
    html = page(crew)
    assert "The chandlery" in html
    assert "2 × 1 US qt can" in html
    pack = Pack.objects.get(product=product("enamel"), amount=QUART)
    here = timezone.localdate() + timedelta(days=LEAD_DAYS)
    told = {"client_id": uuid4(), "pack": pack.pk, "packs": 2, "expected_on": here.isoformat()}
    for _again in range(2):
        assert crew.post("/stores/buy/order/", told).status_code == 302
    order = OrderLine.objects.get()
    assert (order.packs, order.unit_price, order.expected_on) == (2, Decimal("60.00"), here)
    assert "Nothing needs to be bought." in page(crew)


def test_an_order_that_cannot_be_is_refused_beside_its_field(crew: Client) -> None:
    only_enamel(a_hull())
    pack = Pack.objects.get(product=product("enamel"), amount=QUART)
    told = {"client_id": uuid4(), "pack": pack.pk, "packs": 2, "expected_on": "2020-01-01"}
    response = crew.post("/stores/buy/order/", told)
    assert response.status_code == 422
    html = unescape(response.content.decode())
    assert "It cannot be here before it was ordered." in html
    assert 'value="2020-01-01"' in html
    assert not OrderLine.objects.exists()


def test_the_day_of_the_page_is_read_and_a_wrong_one_is_told(crew: Client) -> None:
    only_enamel(a_hull())
    assert "Nothing needs to be bought." in page(crew, f"/stores/buy/?until={timezone.localdate() - timedelta(days=1)}")
    assert "Enter a valid date." in page(crew, "/stores/buy/?until=soon")


def test_the_number_of_queries_does_not_grow_with_the_hulls(crew: Client) -> None:
    a_hull("H-1")
    page(crew)
    counts = []
    for size in range(2):
        with CaptureQueriesContext(connection) as asked:
            page(crew)
        counts.append(len(asked))
        for number in range(6):
            a_hull(f"S-{size}{number}")
        page(crew)
    assert counts[0] == counts[1]

"""The books of a period, as a page and as CSV."""

import csv
import io
import re
from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from hulls.models import Hull, PaymentKind
from shop.models import Move, Movement, Pulse, Role, Shop
from stages.services.bills import credit_invoice
from stages.services.payments import strike_payment
from tests.factories import a_crew_member, the_shop_owner
from tests.shelves import a_pack, take_in
from tests.stages.at_work import a_primed_hull
from tests.stages.billing import an_agreed_hull, finish, issued, paid_in
from tests.stages.charging import a_shop_that_charges

pytestmark = pytest.mark.django_db
TABLES = ("payments", "invoices", "lines", "boats")


@pytest.fixture
def hull() -> Hull:
    a_shop_that_charges(hour_cost=Decimal(40))
    return an_agreed_hull()


@pytest.fixture
def boss(client: Client, hull: Hull) -> Client:
    client.force_login(the_shop_owner())
    return client


def words(response: Any) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def table(client: Client, which: str, query: str = "") -> list[dict[str, str]]:
    response = client.get(f"/books/{which}.csv{query}")
    assert response.status_code == 200
    assert response.headers["Content-Type"] == "text/csv; charset=utf-8"
    return list(csv.DictReader(io.StringIO(response.content.decode("utf-8-sig"), newline="")))


def test_payments_come_with_their_strikes_and_refunds_below_zero(boss: Client, hull: Hull) -> None:
    paid_in(hull, "100", reference="=1+1")
    paid_in(hull, "40", kind=PaymentKind.REFUND)
    wrong = paid_in(hull, "7")
    who, now = the_shop_owner(), timezone.now()
    strike_payment(hull_id=hull.pk, payment=wrong.pk, reason="wrong boat", by=who, at=now)
    rows = table(boss, "payments")
    assert [(r["amount"], r["reference"], r["because"]) for r in rows] == [
        ("100.00", "'=1+1", ""),
        ("-40.00", "", ""),
        ("7.00", "", "wrong boat"),
    ]
    assert {r["day"] for r in rows} == {timezone.localdate().isoformat()}
    assert "Came in, refunds taken off EUR 60.00" in words(boss.get("/books/"))


def test_invoices_and_their_lines_add_up_to_the_same(boss: Client, hull: Hull) -> None:
    invoice = issued(hull)
    (told,) = table(boss, "invoices")
    assert Decimal(told["total"]) == invoice.total
    assert Decimal(told["before_tax"]) + Decimal(told["tax"]) == Decimal(told["total"])
    assert sum(Decimal(row["charged"]) for row in table(boss, "lines")) == Decimal(told["before_tax"])


def test_a_boat_s_margin_is_what_was_billed_less_what_it_cost(boss: Client, hull: Hull) -> None:
    finish(hull, "ribs", 8)
    invoice = issued(hull)
    (boat,) = table(boss, "boats")
    assert boat["hours"] == "8.0"
    assert Decimal(boat["work"]) == 320
    assert Decimal(boat["margin"]) == invoice.subtotal - 320
    assert f"Left to the shop EUR {invoice.subtotal - 320:,.2f}" in words(boss.get("/books/"))


def test_what_a_boat_took_counts_once_however_often_it_is_billed_anew(boss: Client, hull: Hull) -> None:
    finish(hull, "ribs", 8)
    first, now, who = issued(hull), timezone.now(), the_shop_owner()
    credit_invoice(
        hull_id=hull.pk,
        invoice=first.pk,
        reason="a wrong address",
        by=who,
        at=now + timedelta(days=40),
        client_id=uuid4(),
    )
    today = timezone.localdate()
    then = today + timedelta(days=40)
    days = [f"?first={day}&last={day}" for day in (today, then)]
    assert [Decimal(boat["margin"]) for query in days for boat in table(boss, "boats", query)] == [
        first.subtotal,
        -first.subtotal,
    ]
    anew = issued(hull)
    assert sum(Decimal(boat["margin"]) for query in days for boat in table(boss, "boats", query)) == anew.subtotal - 320


def test_the_account_and_the_books_tell_one_margin_where_one_of_two_cans_has_no_cost(boss: Client) -> None:
    Shop.objects.filter(pk=1).update(estimates_first=False, bill_by="used")
    Pulse.bump(setup=True)
    at, pack = timezone.now(), a_pack("primer", "1.000")
    take_in(pack, 1, at, unit_price=Decimal(40))
    hull = a_primed_hull("H-7", coat_at=at)
    (bare,) = take_in(pack, 1, at)
    priced = Movement.objects.get(entry=hull.entries.get(kind="coat").pk, kind=Move.DRAWN)
    told = {"at": at, "recorded_at": at, "by": priced.by, "entry": priced.entry}
    Movement.objects.create(lot=bare, kind=Move.DRAWN, amount=Decimal("-0.1"), **told)
    finish(hull, "ribs", 0.1)
    finish(hull, "planking", 0.2)
    invoice = issued(hull)
    (boat,) = table(boss, "boats")
    assert Decimal(boat["materials"]) == Decimal(40) * -priced.amount
    assert boat["hours"] == "0.3"
    left = invoice.subtotal - Decimal(boat["materials"]) - Decimal(12)
    page = words(boss.get("/hulls/H-7/bill/"))
    assert f"What it leaves to the shop EUR {left:,.2f}" in page
    assert "Some materials have no cost on record" in page


def test_a_period_holds_its_first_and_last_day_and_no_other(boss: Client, hull: Hull) -> None:
    today = timezone.localdate()
    for days in (0, 1, 2, 3):
        paid_in(hull, str(10 + days), on=today - timedelta(days=days))
    query = f"?first={today - timedelta(days=2)}&last={today - timedelta(days=1)}"
    assert [row["amount"] for row in table(boss, "payments", query)] == ["12.00", "11.00"]
    assert "EUR 23.00" in words(boss.get(f"/books/{query}"))


@pytest.mark.parametrize("query", ["?first=2031-02-01&last=2031-01-31", "?first=soon&last=2031-01-31", "?first="])
@pytest.mark.parametrize("path", ["/books/", "/books/payments.csv"])
def test_a_period_that_is_none_is_refused_beside_its_field(boss: Client, path: str, query: str) -> None:
    response = boss.get(path + query)
    assert response.status_code == 422
    assert 'class="errorlist"' in response.content.decode()


def test_there_are_no_other_tables(boss: Client) -> None:
    assert boss.get("/books/secrets.csv").status_code == 404


def test_who_still_has_to_pay_is_named(boss: Client, hull: Hull) -> None:
    assert "H-1 Ada Reed" in words(boss.get("/books/"))


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
def test_nobody_but_the_shop_s_owner_reads_the_books(client: Client, hull: Hull, role: Role) -> None:
    client.force_login(a_crew_member("other", role))
    for path in ("/books/", *(f"/books/{which}.csv" for which in TABLES)):
        assert client.get(path).status_code == 403


def test_wrong_methods_are_refused(boss: Client) -> None:
    assert boss.post("/books/").status_code == 405
    assert boss.post("/books/payments.csv").status_code == 405


def test_a_currency_without_decimals_has_none(boss: Client, hull: Hull) -> None:
    Shop.objects.filter(pk=1).update(currency="JPY")
    Pulse.bump(setup=True)
    paid_in(hull, "1200")
    assert [row["amount"] for row in table(boss, "payments")] == ["1200"]


def test_the_books_take_as_many_queries_with_many_boats_as_with_one(boss: Client, hull: Hull) -> None:
    counts = []
    for tags in ((), ("H-2", "H-3", "H-4")):
        for tag in tags:
            issued(an_agreed_hull(tag))
        if not tags:
            issued(hull)
        boss.get("/books/")
        with CaptureQueriesContext(connection) as asked:
            boss.get("/books/")
        counts.append(len(asked))
    assert counts[0] == counts[1]

"""A hull's account: recording a payment, striking one, and who sees it."""

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

from hulls.models import Hull, Payment, PaymentKind
from shop.models import Pulse, Role, Shop
from stages.queries.balances import balance_of
from tests.factories import a_crew_member, the_shop_owner
from tests.stages.behind_the_link import link_to
from tests.stages.billing import an_agreed_hull, before_hand_over, finish, issued, paid_in
from tests.stages.charging import a_shop_that_charges

pytestmark = pytest.mark.django_db
ACCOUNT, PAYMENT = "/hulls/H-1/bill/", "/hulls/H-1/bill/payment/"


@pytest.fixture
def hull() -> Hull:
    a_shop_that_charges(how_to_pay="By transfer to 000-1234567")
    return an_agreed_hull()


@pytest.fixture
def boss(client: Client, hull: Hull) -> Client:
    client.force_login(the_shop_owner())
    return client


def typed(**other: str) -> dict[str, str]:
    told = {"kind": "payment", "amount": "100", "on": str(timezone.localdate()), "how": "cash", "reference": "0042"}
    return {"client_id": str(uuid4()), **told, **other}


def words(response: Any) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def test_a_payment_is_recorded_and_the_balance_falls(boss: Client, hull: Hull) -> None:
    before = balance_of(hull.pk).due
    response = boss.post(PAYMENT, typed(amount="EUR 1000.50"), follow=True)
    assert response.redirect_chain == [(ACCOUNT, 302)]
    assert "It is recorded." in words(response)
    assert balance_of(hull.pk).due == before - Decimal("1000.50")


def test_the_same_form_sent_twice_is_one_payment(boss: Client) -> None:
    form = typed()
    for _ in range(2):
        assert boss.post(PAYMENT, form).status_code == 302
    assert Payment.objects.count() == 1


def test_one_that_looks_the_same_is_asked_about_and_then_recorded(boss: Client) -> None:
    boss.post(PAYMENT, typed())
    asked = boss.post(PAYMENT, typed(reference=" 0042"))
    assert asked.status_code == 409
    assert "This looks like the payment of" in words(asked)
    assert 'name="anyway"' in asked.content.decode()
    assert Payment.objects.count() == 1
    assert boss.post(PAYMENT, typed(anyway="on")).status_code == 302
    assert Payment.objects.count() == 2


@pytest.mark.parametrize(
    ("wrong", "field", "says"),
    [
        ({"amount": "-5"}, "amount", "zero or more"),
        ({"amount": "0"}, "amount", "more than zero"),
        ({"amount": "12.345"}, "amount", "part of the smallest coin"),
        ({"amount": "much"}, "amount", "no number"),
        ({"amount": ""}, "amount", "required"),
        ({"on": str(timezone.localdate() + timedelta(days=2))}, "on", "not come yet"),
        ({"on": "1999-12-31"}, "on", "too long ago"),
        ({"on": "yesterday"}, "on", "valid date"),
        ({"how": "shells"}, "how", "shells"),
        ({"kind": "gift"}, "kind", "gift"),
        ({"reference": "x" * 81}, "reference", "80"),
        ({"kind": "refund"}, "amount", "more than was paid"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_with_what_was_typed(
    boss: Client, wrong: dict[str, str], field: str, says: str
) -> None:
    response = boss.post(PAYMENT, typed(**{"reference": "kept", **wrong}))
    html = response.content.decode()
    assert response.status_code == 422
    assert not Payment.objects.exists()
    error = re.search(rf'id="payment-{field}_error".*?</ul>', html, re.DOTALL)
    assert error, html
    assert says in error.group()
    if "reference" not in wrong:
        assert 'value="kept"' in html


def test_more_than_is_due_is_recorded_with_a_warning(boss: Client, hull: Hull) -> None:
    due = balance_of(hull.pk).due
    response = boss.post(PAYMENT, typed(amount=str(due + 5)), follow=True)
    assert "EUR 5.00 more than is due" in words(response)
    assert "paid EUR 5.00 more than is due" in words(boss.get(ACCOUNT))


def test_the_margin_of_a_running_job_is_no_loss_but_not_billed_yet(boss: Client, hull: Hull) -> None:
    Shop.objects.filter(pk=1).update(hour_cost=Decimal(40))
    Pulse.bump(setup=True)
    finish(hull, "ribs", 8)
    assert "What it leaves to the shop nothing is billed yet" in words(boss.get(ACCOUNT))
    invoice = issued(hull)
    assert f"What it leaves to the shop EUR {invoice.subtotal - 320:,.2f}" in words(boss.get(ACCOUNT))


def test_a_payment_is_struck_with_a_reason(boss: Client, hull: Hull) -> None:
    row = paid_in(hull, "100")
    address = f"/hulls/H-1/bill/payments/{row.pk}/strike/"
    assert 'name="reason"' in boss.get(address).content.decode()
    refused = boss.post(address, {"client_id": str(uuid4()), "reason": ""})
    assert refused.status_code == 422
    for _ in range(2):
        assert boss.post(address, {"client_id": str(uuid4()), "reason": "wrong boat"}).status_code == 302
    assert "wrong boat" in words(boss.get(ACCOUNT))
    assert balance_of(hull.pk).paid == 0


def test_one_that_was_paid_back_is_not_struck_and_says_why(boss: Client, hull: Hull) -> None:
    row = paid_in(hull, "100")
    paid_in(hull, "60", kind=PaymentKind.REFUND)
    sent = {"client_id": str(uuid4()), "reason": "wrong boat"}
    response = boss.post(f"/hulls/H-1/bill/payments/{row.pk}/strike/", sent)
    assert response.status_code == 422
    assert "Strike that refund first" in words(response)


@pytest.mark.parametrize("address", ["/hulls/H-9/bill/", "/hulls/H-1/bill/payments/999/strike/"])
def test_what_is_not_there_is_not_found(boss: Client, address: str) -> None:
    assert boss.get(address).status_code == 404


def test_wrong_methods_are_refused(boss: Client) -> None:
    assert boss.post(ACCOUNT).status_code == 405
    assert boss.get(PAYMENT).status_code == 405


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
def test_nobody_but_the_shop_s_owner_sees_or_records_money(client: Client, hull: Hull, role: Role) -> None:
    client.force_login(a_crew_member("other", role))
    assert client.get(ACCOUNT).status_code == 403
    assert client.post(PAYMENT, typed()).status_code == 403
    assert not Payment.objects.exists()


def test_the_crew_sees_whether_the_balance_is_clear_and_no_figure(client: Client, hull: Hull) -> None:
    client.force_login(a_crew_member())
    sheet = words(client.get("/hulls/H-1/"))
    assert "Balance Not clear" in sheet
    assert "is to be paid" not in sheet
    paid_in(hull, str(balance_of(hull.pk).due))
    assert "Balance Clear." in words(client.get("/hulls/H-1/"))


def test_a_boat_that_waits_for_its_balance_says_so_on_the_sheet_and_to_its_owner(client: Client, hull: Hull) -> None:
    before_hand_over(hull)
    client.force_login(a_crew_member())
    sheet = client.get("/hulls/H-1/").content.decode()
    assert "The balance of this boat is not paid yet." in sheet
    assert 'href="/hulls/H-1/#balance"' in sheet
    assert 'id="balance"' in sheet
    assert "once its balance is paid" in words(client.get(link_to(hull)))


def test_the_shop_s_owner_sees_the_figure_on_the_sheet(boss: Client, hull: Hull) -> None:
    due = balance_of(hull.pk).due
    assert f"EUR {due:,.2f} is to be paid" in words(boss.get("/hulls/H-1/"))


def test_the_boat_s_owner_reads_what_to_pay_and_how(client: Client, hull: Hull) -> None:
    link, balance = link_to(hull), balance_of(hull.pk)
    page = words(client.get(link))
    assert f"Deposit to pay EUR {balance.deposit:,.2f}" in page
    assert "By transfer to 000-1234567" in page
    paid_in(hull, f"{balance.deposit:.2f}")
    assert "Nothing is to be paid now" in words(client.get(link))
    invoice = issued(hull)
    left = balance_of(hull.pk).due
    assert f"To pay EUR {left:,.2f} Invoice I-1" in words(client.get(link))
    assert client.get(f"{link}invoice/{invoice.pk}/").content.startswith(b"%PDF")
    paid_in(hull, f"{left:.2f}")
    assert "Everything is paid" in words(client.get(link))


def test_a_link_opens_no_invoice_of_another_boat(client: Client, hull: Hull) -> None:
    other = issued(an_agreed_hull("H-2"))
    assert client.get(f"{link_to(hull)}invoice/{other.pk}/").status_code == 404


def test_the_account_takes_as_many_queries_with_many_payments_as_with_one(boss: Client, hull: Hull) -> None:
    paid_in(hull, "1")
    boss.get(ACCOUNT)
    with CaptureQueriesContext(connection) as few:
        boss.get(ACCOUNT)
    for n in range(2, 9):
        paid_in(hull, str(n))
    boss.get(ACCOUNT)
    with CaptureQueriesContext(connection) as many:
        boss.get(ACCOUNT)
    assert len(many) == len(few)

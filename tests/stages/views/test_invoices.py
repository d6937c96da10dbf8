"""Invoices: looked at, issued as they were looked at, printed, taken back."""

import io
import re
from collections.abc import Iterator
from typing import Any, cast
from uuid import uuid4

import pytest
from django.test import Client
from pypdf import PdfReader

from hulls.estimate import digest
from hulls.models import Hull, Invoice
from shop.models import Role
from tests.factories import a_crew_member, the_shop_owner
from tests.stages.behind_the_link import link_to
from tests.stages.billing import an_agreed_hull, audit, drawn_up, issued, paid_in
from tests.stages.charging import a_shop_that_charges, a_surveyed_hull

pytestmark = pytest.mark.django_db
DRAFT = "/hulls/H-1/bill/invoice/"
A4_MM, LETTER_MM = (210, 297), (216, 279)  # ISO 216; ANSI A, 8.5 by 11 in


@pytest.fixture
def hull() -> Hull:
    a_shop_that_charges(how_to_pay="By transfer to 000-1234567")
    return an_agreed_hull()


@pytest.fixture
def boss(client: Client, hull: Hull) -> Client:
    client.force_login(the_shop_owner())
    return client


def words(response: Any) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def hidden(response: Any) -> dict[str, str]:
    return dict(re.findall(r'name="(client_id|seen)" value="([^"]+)"', response.content.decode()))


def address(invoice: Invoice, more: str = "") -> str:
    return f"/hulls/H-1/bill/invoices/{invoice.pk}/{more}"


def test_the_draft_says_what_would_be_issued_and_issues_that(boss: Client, hull: Hull) -> None:
    draft = boss.get(DRAFT)
    total = drawn_up(hull).bill.sums.total
    assert f"Total EUR {total:,.2f}" in words(draft)
    assert "half to the even one (ASTM E29" in words(draft)
    for _ in range(2):  # sent twice, it is one
        response = boss.post(DRAFT, hidden(draft))
        assert response.headers["Location"] == address(Invoice.objects.get())
    assert Invoice.objects.get().total == total
    assert boss.get(DRAFT).headers["Location"] == address(Invoice.objects.get())


def test_every_figure_opens_down_to_what_it_came_from(boss: Client, hull: Hull) -> None:
    page = words(boss.get(address(issued(hull))))
    assert "Ribs EUR 390.00 Agreed, E-1 6.5 h · EUR 390.00 On record nothing Charged 6.5 h × EUR 60.00" in page
    assert "Ribs 4 × 1.5 h" in page


def test_what_changed_since_it_was_looked_at_is_not_issued_and_shown_anew(boss: Client, hull: Hull) -> None:
    seen = hidden(boss.get(DRAFT))
    paid_in(hull, "12")
    response = boss.post(DRAFT, seen)
    assert response.status_code == 422
    assert "Something changed since you looked at it" in words(response)
    assert "EUR -12.00" in words(response)
    assert not Invoice.objects.exists()


def test_a_boat_with_nothing_to_bill_says_so(boss: Client) -> None:
    a_surveyed_hull("H-2")
    assert "nothing to bill" in words(boss.get("/hulls/H-2/bill/invoice/"))


def test_an_invoice_is_taken_back_with_a_reason(boss: Client, hull: Hull) -> None:
    invoice = issued(hull)
    assert boss.post(address(invoice), {"client_id": str(uuid4()), "reason": " "}).status_code == 422
    for _ in range(2):
        sent = boss.post(address(invoice), {"client_id": str(uuid4()), "reason": "two hours too many"}, follow=True)
        assert "takes invoice I-1 back: two hours too many" in words(sent)
    assert "taken back by N-1" in words(boss.get(address(invoice)))
    assert boss.get(DRAFT).status_code == 200
    assert audit() == []


def altered(row: Invoice, **body: Any) -> Invoice:
    """The row as somebody with a way into the database left it."""
    Invoice.objects.filter(pk=row.pk).update(body={**row.body, **body})
    return row


@pytest.mark.parametrize("body", [{"rows": []}, {"rows": None}, {"sums": {}}, {"by": "feel"}, {"how_to_pay": "To me"}])
def test_one_that_was_changed_in_the_database_is_told_in_words_and_everything_else_stands(
    boss: Client, hull: Hull, body: dict[str, Any]
) -> None:
    row, link = altered(issued(hull), **body), link_to(hull)
    for client, path in ((boss, address(row)), (boss, address(row, "pdf/")), (Client(), f"{link}invoice/{row.pk}/")):
        answer = client.get(path)
        assert answer.status_code == 409, path
        assert "What stands here is not what was issued." in words(answer)
        assert "To me" not in words(answer)
    account = boss.get("/hulls/H-1/bill/")
    assert account.status_code == 200
    assert "not what was issued any more" in words(account)
    books = boss.get("/books/")
    assert books.status_code == 200
    assert f"{row.label} : not what was issued any more" in words(books)
    lines = boss.get("/books/lines.csv")
    assert b"What stands here is not what was issued." in b"".join(cast("Iterator[bytes]", lines))
    assert Client().get(link).status_code == 200
    assert boss.get("/hulls/H-1/").status_code == 200
    assert audit() == [f"H-1: {row.label}: the log says 'as it was issued', the table says 'changed since'"]


def test_one_that_was_changed_is_not_taken_back_by_a_credit_note(boss: Client, hull: Hull) -> None:
    row = altered(issued(hull), how_to_pay="To me")
    sent = {"client_id": str(uuid4()), "reason": "the wrong rate"}
    assert boss.post(address(row), sent).status_code == 409
    assert Invoice.objects.count() == 1


def test_one_that_was_changed_with_its_digest_too_is_found_by_its_sums(boss: Client, hull: Hull) -> None:
    row = issued(hull)
    row.body["sums"]["subtotal"] = "1.00"
    Invoice.objects.filter(pk=row.pk).update(body=row.body, digest=digest(row.sealed))
    assert boss.get(address(row)).status_code == 409
    assert boss.get("/hulls/H-1/bill/").status_code == 200


@pytest.mark.parametrize(("query", "size_mm"), [("", A4_MM), ("?paper=a4", A4_MM), ("?paper=letter", LETTER_MM)])
def test_it_is_printed_on_either_paper(boss: Client, hull: Hull, query: str, size_mm: tuple[int, int]) -> None:
    paid_in(hull, "100", reference="0042")
    invoice = issued(hull)
    response = boss.get(address(invoice, f"pdf/{query}"))
    assert response.headers["Content-Type"] == "application/pdf"
    reader = PdfReader(io.BytesIO(response.content))
    box = reader.pages[0].mediabox
    assert (round(float(box.width) / 72 * 25.4), round(float(box.height) / 72 * 25.4)) == size_mm
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for said in ("Invoice I-1", "payment, transfer, 0042", "To pay", "By transfer to 000-1234567", "ASTM E29"):
        assert said in text, said
    assert invoice.digest in text.replace(" ", "")


def test_a_credit_note_is_printed_too(boss: Client, hull: Hull) -> None:
    invoice = issued(hull)
    boss.post(address(invoice), {"client_id": str(uuid4()), "reason": "two hours too many"})
    note = Invoice.objects.get(kind="credit")
    reader = PdfReader(io.BytesIO(boss.get(address(note, "pdf/")).content))
    assert "Credit note N-1" in reader.pages[0].extract_text()
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert "To pay" not in text
    assert f"Total, credited {invoice.total:,.2f}" in text, "its lines and taxes are above zero, and so is their sum"
    assert f"Total, credited EUR {invoice.total:,.2f}" in words(boss.get(address(note)))


@pytest.mark.parametrize("path", ["/hulls/H-1/bill/invoices/999/", "/hulls/H-1/bill/invoices/999/pdf/"])
def test_what_is_not_there_is_not_found(boss: Client, path: str) -> None:
    assert boss.get(path).status_code == 404


def test_an_invoice_of_another_boat_is_not_found(boss: Client) -> None:
    other = issued(an_agreed_hull("H-2"))
    assert boss.get(address(other)).status_code == 404


def test_a_form_without_its_numbers_issues_nothing(boss: Client) -> None:
    assert boss.post(DRAFT, {"client_id": "x", "seen": ""}).status_code == 422
    assert not Invoice.objects.exists()


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
def test_nobody_but_the_shop_s_owner_sees_or_issues_one(client: Client, hull: Hull, role: Role) -> None:
    invoice = issued(hull)
    client.force_login(a_crew_member("other", role))
    for path in (DRAFT, address(invoice), address(invoice, "pdf/")):
        assert client.get(path).status_code == 403
    assert client.post(address(invoice), {"reason": "mine"}).status_code == 403


def test_wrong_methods_are_refused(boss: Client, hull: Hull) -> None:
    assert boss.put(DRAFT).status_code == 405
    assert boss.post(address(issued(hull), "pdf/")).status_code == 405

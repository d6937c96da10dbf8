"""Invoices: drawn up from the record, numbered without gaps, frozen, taken back by a credit note."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from hulls.estimate import Reason
from hulls.models import Hull, Invoice
from hulls.models.estimates import FrozenError
from shop.models import Pulse, Shop, Tax
from stages.engine.errors import EngineError
from stages.queries.balances import balance_of
from stages.services import notes
from stages.services.bills import credit_invoice
from tests.factories import a_hull, hand, the_shop_owner
from tests.shelves import a_pack, take_in
from tests.stages.at_work import a_primed_hull
from tests.stages.billing import an_agreed_hull, audit, drawn_up, finish, issued, paid_in
from tests.stages.charging import a_change_order, a_shop_that_charges, answered

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture(autouse=True)
def shop() -> Shop:
    return a_shop_that_charges()


@pytest.fixture
def hull() -> Hull:
    return an_agreed_hull()


def settings(**values: Any) -> None:
    Shop.objects.filter(pk=1).update(**values)
    Pulse.bump(setup=True)


def credit(invoice: Invoice, reason: str = "the hours were wrong") -> Invoice:
    return credit_invoice(
        hull_id=invoice.hull_id,
        invoice=invoice.pk,
        reason=reason,
        by=the_shop_owner(),
        at=timezone.now(),
        client_id=uuid4(),
    )


def test_an_invoice_as_agreed_comes_to_what_was_agreed(hull: Hull) -> None:
    agreed = balance_of(hull.pk).agreed
    invoice = issued(hull)
    assert (invoice.label, invoice.total, invoice.held) == ("I-1", agreed, agreed)
    assert balance_of(hull.pk).due == agreed
    assert invoice.holds
    assert audit() == []


def test_by_use_the_hours_told_at_the_finish_are_charged(hull: Hull) -> None:
    settings(bill_by="used")
    finish(hull, "ribs", 5.5)
    (ribs,) = (row for row in drawn_up(hull).bill.rows if "ribs" in row.words.lower())
    assert (ribs.real_amount, ribs.billed, ribs.reason) == (D("5.5"), D(330), Reason.AS_USED)
    told = [(part.what, part.value) for part in ribs.because]
    assert any("at the finish" in what and value == "5.5 h" for what, value in told), told
    assert told[0][0] == "Agreed"


def test_by_use_a_coat_is_charged_at_what_its_can_cost_and_the_mark_up() -> None:
    settings(bill_by="used", estimates_first=False)
    at = timezone.now()
    take_in(a_pack("primer", "1.000"), 1, at, unit_price=D("40.00"))
    hull = a_primed_hull("H-7", coat_at=at)
    (drawn,) = drawn_up(hull).used
    assert drawn.cost == D(40) * drawn.amount
    (row,) = drawn_up(hull).bill.rows
    assert row.billed == D(50) * drawn.amount, "40 a litre and a quarter"
    assert row.reason is Reason.AS_USED


def test_a_struck_coat_is_charged_to_nobody() -> None:
    settings(estimates_first=False)
    at = timezone.now()
    take_in(a_pack("primer", "1.000"), 1, at, unit_price=D("40.00"))
    hull = a_primed_hull("H-7", coat_at=at)
    coat = hull.entries.filter(kind="coat").latest("number")
    assert notes.strike_entry(hull_id=hull.pk, number=coat.number, reason="other boat", hand=hand()).done
    with pytest.raises(Exception, match="nothing to bill"):
        drawn_up(hull)


def test_the_same_form_sent_twice_is_one_invoice(hull: Hull) -> None:
    number = uuid4()
    first = issued(hull, number)
    assert issued(hull, number, first.digest) == first
    assert Invoice.objects.count() == 1


def test_a_number_of_another_hull_is_refused(hull: Hull) -> None:
    number = uuid4()
    issued(hull, number)
    with pytest.raises(EngineError, match="another hull"):
        issued(an_agreed_hull("H-2"), number)


def test_a_second_invoice_waits_for_a_credit_note(hull: Hull) -> None:
    first = issued(hull)
    with pytest.raises(EngineError, match="credit note"):
        issued(hull)
    note = credit(first)
    assert (note.label, note.total, note.held) == ("N-1", -first.total, -first.held)
    assert balance_of(hull.pk).billed == 0
    again = issued(hull)
    assert again.label == "I-2"
    assert audit() == []


def test_a_credit_note_needs_a_reason_and_comes_once(hull: Hull) -> None:
    invoice = issued(hull)
    with pytest.raises(EngineError) as refused:
        credit(invoice, "")
    assert refused.value.field == "reason"
    assert credit(invoice) == credit(invoice, "once more")
    with pytest.raises(EngineError, match="no such invoice"):
        credit(Invoice.objects.get(kind="credit"))


def test_what_changed_since_it_was_looked_at_is_not_issued(hull: Hull) -> None:
    seen = drawn_up(hull).seen
    paid_in(hull, "10")
    with pytest.raises(EngineError, match="changed since"):
        issued(hull, seen=seen)
    assert not Invoice.objects.exists()


def test_an_issued_invoice_keeps_its_terms_when_the_shop_changes_its_own(hull: Hull) -> None:
    before = issued(hull)
    Tax.objects.update(rate_pct=D(5))
    settings(hourly_rate=D(99), how_to_pay="In shells")
    finish(hull, "ribs", 9)
    held = Invoice.objects.get(pk=before.pk)
    assert (held.body, held.total) == (before.body, before.total)
    assert held.holds


def test_an_invoice_cannot_be_edited_or_deleted_and_an_audit_finds_one_that_was(hull: Hull) -> None:
    invoice = issued(hull)
    invoice.total = D(1)
    with pytest.raises(FrozenError):
        invoice.save()
    with pytest.raises(FrozenError):
        invoice.delete()
    Invoice.objects.update(total=D(1))
    assert audit() == ["H-1: I-1: the log says 'as it was issued', the table says 'changed since'"]


def test_an_audit_finds_a_number_that_is_missing(hull: Hull) -> None:
    issued(hull)
    issued(an_agreed_hull("H-2"))
    Invoice.objects.filter(number=1).delete()
    assert audit() == ["invoice: numbers: the log says 'no gap', the table says 'no number 1'"]


def test_a_change_order_after_the_invoice_is_owed_on_top(hull: Hull) -> None:
    invoice = issued(hull)
    more = a_change_order(hull, "ribs")
    assert answered(more).done
    assert balance_of(hull.pk).due == invoice.total + more.total


def test_a_hull_with_nothing_on_record_has_nothing_to_bill() -> None:
    with pytest.raises(Exception, match="nothing to bill"):
        drawn_up(a_hull("H-3"))

"""Payments: recorded once, struck with a reason, never edited; the balance and the rule that waits for it."""

from datetime import timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from hulls.models import Hull, PaidBy, Payment, PaymentKind
from hulls.models.estimates import FrozenError
from shop.models import Shop
from stages.engine.errors import EngineError
from stages.models import HullWork
from stages.queries.balances import balance_of, owing
from stages.services.payments import strike_payment
from tests.at_work import finish
from tests.factories import a_hull, hand, the_shop_owner
from tests.stages.billing import an_agreed_hull, audit, before_hand_over, paid_in, pay
from tests.stages.charging import a_change_order, a_shop_that_charges, a_surveyed_hull, answered

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture(autouse=True)
def shop() -> Shop:
    return a_shop_that_charges()


@pytest.fixture
def hull() -> Hull:
    return an_agreed_hull()


def strike(payment: Payment, reason: str = "typed at the wrong boat") -> Payment:
    return strike_payment(
        hull_id=payment.hull_id, payment=payment.pk, reason=reason, by=the_shop_owner(), at=timezone.now()
    )


def test_a_payment_lowers_the_balance_by_itself(hull: Hull) -> None:
    before = balance_of(hull.pk).due
    row = paid_in(hull, "120.50", kind=PaymentKind.DEPOSIT, reference=" 0042 ")
    assert balance_of(hull.pk).due == before - D("120.50")
    assert (row.amount, row.currency, row.reference, row.recorded_by) == (D("120.50"), "EUR", "0042", the_shop_owner())
    assert audit() == []


def test_a_refund_raises_it_and_is_no_more_than_was_paid(hull: Hull) -> None:
    before = balance_of(hull.pk).due
    paid_in(hull, "100")
    with pytest.raises(EngineError) as refused:
        pay(hull, "100.01", kind=PaymentKind.REFUND)
    assert refused.value.field == "amount"
    paid_in(hull, "100", kind=PaymentKind.REFUND)
    assert balance_of(hull.pk).due == before


def test_the_same_form_sent_twice_is_one_payment(hull: Hull) -> None:
    number = uuid4()
    first, again = (pay(hull, "100", client_id=number) for _ in range(2))
    assert again.repeated
    assert again.payment == first.payment
    assert Payment.objects.count() == 1


def test_a_form_that_recorded_another_payment_is_refused(hull: Hull) -> None:
    number = uuid4()
    paid_in(hull, "100", client_id=number)
    other = an_agreed_hull("H-2")
    for told in ((other, "100"), (hull, "101")):
        with pytest.raises(EngineError, match="another payment"):
            pay(*told, client_id=number)
    with pytest.raises(EngineError, match="another payment"):
        pay(hull, "100", client_id=number, reference="0043")
    with pytest.raises(EngineError, match="another payment"):
        pay(hull, "100", client_id=number, how=PaidBy.CASH)
    assert Payment.objects.count() == 1


def test_a_form_whose_payment_was_struck_since_does_not_claim_to_have_recorded_it(hull: Hull) -> None:
    number = uuid4()
    strike(paid_in(hull, "100", client_id=number))
    with pytest.raises(EngineError, match="struck since"):
        pay(hull, "100", client_id=number)
    assert balance_of(hull.pk).paid == 0


def test_one_that_looks_the_same_is_asked_about_and_recorded_when_somebody_says_so(hull: Hull) -> None:
    first = paid_in(hull, "100", reference="0042")
    asked = pay(hull, "100", reference="0042")
    assert (asked.payment, asked.alike) == (None, first)
    assert Payment.objects.count() == 1
    assert pay(hull, "100", reference="0042", anyway=True).payment is not None
    assert Payment.objects.count() == 2


@pytest.mark.parametrize("other", [{"reference": "0043"}, {"kind": PaymentKind.DEPOSIT}, {"days": 1}, {"more": "0.01"}])
def test_one_that_differs_in_anything_is_not_asked_about(hull: Hull, other: dict[str, Any]) -> None:
    paid_in(hull, "100", reference="0042")
    changed = {"reference": "0042", **other}
    day = timezone.localdate() - timedelta(days=changed.pop("days", 0))
    amount = str(D(100) + D(changed.pop("more", "0")))
    assert pay(hull, amount, on=day, **changed).payment is not None


def test_a_struck_one_is_no_longer_like_any(hull: Hull) -> None:
    strike(paid_in(hull, "100"))
    assert pay(hull, "100").payment is not None


@pytest.mark.parametrize(
    ("amount", "field"), [("-5", "amount"), ("0", "amount"), ("12.345", "amount"), ("NaN", "amount"), ("1e9", "amount")]
)
def test_what_nobody_can_pay_is_refused_beside_its_field(hull: Hull, amount: str, field: str) -> None:
    with pytest.raises(EngineError) as refused:
        pay(hull, amount)
    assert refused.value.field == field
    assert not Payment.objects.exists()


def test_a_day_that_has_not_come_is_refused_and_today_is_not(hull: Hull) -> None:
    with pytest.raises(EngineError) as refused:
        pay(hull, "5", on=timezone.localdate() + timedelta(days=1))
    assert refused.value.field == "on"
    assert pay(hull, "5", on=timezone.localdate()).payment is not None


def test_more_than_is_due_is_recorded_and_said(hull: Hull) -> None:
    due = balance_of(hull.pk).due
    assert pay(hull, str(due)).over == 0
    assert pay(hull, "0.01").over == D("0.01")
    assert balance_of(hull.pk).due == D("-0.01")


def test_a_payment_is_struck_with_a_reason_and_stays_on_record(hull: Hull) -> None:
    due = balance_of(hull.pk).due
    row = paid_in(hull, "100")
    with pytest.raises(EngineError) as refused:
        strike(row, " ")
    assert refused.value.field == "reason"
    strike(row)
    assert balance_of(hull.pk).due == due
    assert strike(row, "another reason").struck_because == "typed at the wrong boat"
    assert audit() == []


def test_a_payment_of_another_boat_or_one_that_went_back_is_not_struck(hull: Hull) -> None:
    row = paid_in(hull, "100")
    with pytest.raises(EngineError, match="no such payment"):
        strike_payment(hull_id=a_hull("H-2").pk, payment=row.pk, reason="no", by=row.recorded_by, at=timezone.now())
    back = paid_in(hull, "60", kind=PaymentKind.REFUND)
    with pytest.raises(EngineError, match="Strike that refund first"):
        strike(row)
    strike(back)
    assert strike(row).is_struck


def test_a_payment_cannot_be_edited_or_deleted_and_an_audit_finds_one_that_was(hull: Hull) -> None:
    row = paid_in(hull, "100")
    row.amount = D(1)
    with pytest.raises(FrozenError):
        row.save()
    with pytest.raises(FrozenError):
        row.delete()
    Payment.objects.filter(pk=row.pk).update(amount=D(1))
    assert audit() == [f"H-1: payment {row.pk}: the log says 'as it was recorded', the table says 'changed since'"]


@pytest.mark.parametrize("wrong", [{"amount": D(0)}, {"amount": D(-1)}, {"struck_at": timezone.now()}])
def test_the_table_itself_holds_no_wrong_row(hull: Hull, wrong: dict[str, Any]) -> None:
    row = paid_in(hull, "100")
    with pytest.raises(IntegrityError), transaction.atomic():
        Payment.objects.filter(pk=row.pk).update(**wrong)


# --- Hand-over


def hand_over(hull: Hull, override: str = "") -> set[str]:
    """Try to hand the hull over; give the rules that refuse it."""
    who = hand(by=the_shop_owner(), override=override)
    outcome = finish(hull_id=hull.pk, stage="hand_over", hand=who)
    return {finding.rule for finding in outcome.findings if finding.refuses} if not outcome.done else set()


def test_hand_over_waits_for_the_last_cent(hull: Hull) -> None:
    before_hand_over(hull)
    due = balance_of(hull.pk).due
    paid_in(hull, str(due - D("0.01")))
    assert hand_over(hull) == {"paid"}
    paid_in(hull, "0.01")
    assert hand_over(hull) == set()
    assert HullWork.objects.get(pk=hull.pk).handed_over_at is not None


def test_the_shop_s_owner_lets_a_boat_go_with_a_written_reason(hull: Hull) -> None:
    before_hand_over(hull)
    assert hand_over(hull, "she pays on Friday, I know her") == set()
    last = hull.entries.latest("number")
    assert [(o["rule"], o["reason"]) for o in last.details["overrides"]] == [("paid", "she pays on Friday, I know her")]
    assert audit() == []


def test_a_boat_without_any_agreement_goes_as_before() -> None:
    hull = a_surveyed_hull("H-2")
    before_hand_over(hull)
    assert hull.pk not in owing()
    assert hand_over(hull) == set()


def test_money_is_recorded_and_struck_after_the_boat_has_left_too(hull: Hull) -> None:
    before_hand_over(hull)
    row = paid_in(hull, str(balance_of(hull.pk).due))
    assert hand_over(hull) == set()
    strike(row)
    assert owing()[hull.pk] is True
    assert audit() == []


def test_an_approved_change_order_opens_the_balance_again(hull: Hull) -> None:
    before_hand_over(hull)
    paid_in(hull, str(balance_of(hull.pk).due))
    assert owing()[hull.pk] is False
    more = a_change_order(hull, "hand_over")
    assert owing()[hull.pk] is False, "nobody said yes yet"
    assert answered(more).done
    assert hand_over(hull) == {"paid"}


@pytest.mark.parametrize("many", [1, 6])
def test_who_owes_is_one_query_for_all_boats(many: int, django_assert_num_queries: Any) -> None:
    for n in range(many):
        paid_in(an_agreed_hull(f"H-{n}"), "10")
    with django_assert_num_queries(1):
        assert len(owing()) == many

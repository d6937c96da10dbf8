"""Letters that ask a boat's owner for an answer: as long as something waits for one."""

from datetime import time

import pytest

from hulls.charging import money
from hulls.models import EstimateKind, Hull, Message, MessageKind, MessageState, Wish
from stages.services.estimates import withdraw_estimate
from tests.factories import hand
from tests.fixtures.post_office import PostOffice
from tests.stages.billing import finish, issued, pay
from tests.stages.charging import a_change_order, a_sent_estimate, a_shop_that_charges, a_surveyed_hull, answered
from tests.stages.out_tray import an_owner_hears, the_letter, when_due

pytestmark = pytest.mark.django_db


@pytest.fixture
def hull() -> Hull:
    a_shop_that_charges(quiet_from=time(0), quiet_until=time(0), email="shop@example.org")
    hull = a_surveyed_hull()
    hull.name = "Swift"
    hull.save()
    an_owner_hears(hull, Wish.ACT)
    return hull


def test_an_estimate_and_a_change_order_are_one_letter(hull: Hull, mail_on: PostOffice) -> None:
    papers = [a_sent_estimate(hull), a_change_order(hull)]
    letter = when_due(the_letter())
    assert (letter.kind, letter.state) == (MessageKind.ACT, MessageState.SENT)
    assert letter.subject == "Swift: we need your answer"
    for kind, paper in zip(EstimateKind, papers, strict=True):
        assert f"{kind.label.capitalize()} {paper.label}" in letter.text
    assert "Read it and answer" in letter.html


def test_it_says_nothing_of_what_has_its_answer_by_then(hull: Hull, mail_on: PostOffice) -> None:
    estimate, change = a_sent_estimate(hull), a_change_order(hull)
    answered(estimate)
    text = when_due(the_letter()).text
    assert change.label in text
    assert estimate.label not in text


@pytest.mark.parametrize("by", ["answered", "withdrawn"])
def test_where_nothing_waits_any_more_it_does_not_go_out(hull: Hull, mail_on: PostOffice, by: str) -> None:
    sent = a_sent_estimate(hull)
    if by == "withdrawn":
        withdraw_estimate(hull_id=hull.pk, estimate=sent.pk, hand=hand())
    else:
        answered(sent)
    letter = when_due(the_letter())
    assert (letter.state, letter.reason) == (MessageState.DROPPED, "Nothing waits for the boat’s owner any more.")
    assert mail_on.came == []


def test_a_later_version_is_asked_about_in_its_place(hull: Hull, mail_on: PostOffice) -> None:
    a_sent_estimate(hull)
    second = a_sent_estimate(hull)
    assert second.version == 2
    assert when_due(the_letter()).text.count(second.label) == 1


@pytest.mark.parametrize("wish", [Wish.EVERY, Wish.MILESTONES, Wish.ACT])
def test_whoever_hears_of_anything_hears_of_what_waits_for_them(hull: Hull, wish: Wish) -> None:
    an_owner_hears(hull, wish)
    a_sent_estimate(hull)
    assert the_letter().kind == MessageKind.ACT


def test_whoever_wants_nothing_hears_of_nothing(hull: Hull) -> None:
    an_owner_hears(hull, Wish.NOTHING)
    a_sent_estimate(hull)
    assert not Message.objects.exists()


def test_an_invoice_is_told_of_as_long_as_it_is_to_be_paid(hull: Hull, mail_on: PostOffice) -> None:
    answered(a_sent_estimate(hull))
    Message.objects.all().delete()
    finish(hull, "survey")
    invoice = issued(hull)
    letter = when_due(the_letter(kind=MessageKind.ACT))
    assert (letter.subject, letter.state) == ("Swift: our invoice", MessageState.SENT)
    assert f"Invoice {invoice.label}: {money(invoice.total, invoice.currency)} to be paid" in letter.text


def test_an_invoice_that_is_paid_by_then_is_not_told_of(hull: Hull, mail_on: PostOffice) -> None:
    answered(a_sent_estimate(hull))
    Message.objects.all().delete()
    finish(hull, "survey")
    pay(hull, str(issued(hull).total))
    assert when_due(the_letter(kind=MessageKind.ACT)).state == MessageState.DROPPED

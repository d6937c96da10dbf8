"""The thread between a boat's owner and the shop: kept once, in no flood, answered, struck and never gone."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from hulls.models import Hull, Message, MessageKind, MessageState, Remark
from shop.models import Pulse
from stages.engine.errors import EngineError
from stages.services.orders import Hand
from stages.services.thread import (
    FARTHEST,
    IN_A_DAY,
    IN_AN_HOUR,
    Written,
    answer_owner,
    ask_shop,
    propose_day,
    settle,
    strike_remark,
)
from tests.factories import a_hull, a_shop, hand, the_shop_owner
from tests.stages.behind_the_link import a_photo, link_to, strike
from tests.stages.writing import a_guest, a_question, a_ready_hull, an_answer

pytestmark = pytest.mark.django_db


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull()


def waits(hull: Hull) -> int:
    return Remark.objects.waiting_for_shop().filter(hull=hull).count()


# --- Kept once


def test_what_an_owner_writes_is_kept_as_it_was_written_and_waits(hull: Hull) -> None:
    remark = a_question(hull, "  Zoë 山田: may I come?\nOn Sunday? 🛶  ")
    assert remark.words == "Zoë 山田: may I come?\nOn Sunday? 🛶"
    assert (remark.is_owner_s, remark.waits) == (True, True)


def test_the_same_form_twice_is_one_remark(hull: Hull) -> None:
    guest = a_guest()
    first = ask_shop(hull_id=hull.pk, written=Written(words="Once."), guest=guest)
    again = ask_shop(hull_id=hull.pk, written=Written(words="Once."), guest=guest)
    assert (again.remark, again.repeated) == (first.remark, True)
    assert Remark.objects.count() == 1


def test_the_same_form_with_other_words_is_refused_and_not_taken_for_the_first(hull: Hull) -> None:
    guest = a_guest()
    ask_shop(hull_id=hull.pk, written=Written(words="Once."), guest=guest)
    with pytest.raises(EngineError, match="had sent something else") as refused:
        ask_shop(hull_id=hull.pk, written=Written(words="Twice."), guest=guest)
    assert refused.value.field == ""
    assert Remark.objects.get().words == "Once."


def test_an_answer_sent_twice_is_one_answer_and_one_letter(hull: Hull) -> None:
    link_to(hull)
    sent = hand()
    for _ in range(2):
        answer_owner(hull_id=hull.pk, written=Written(words="Yes."), hand=sent)
    assert Remark.objects.count() == 1
    assert Message.objects.filter(kind=MessageKind.WORDS).count() == 1


@pytest.mark.parametrize("words", ["", "   \n ", "a" * 2001, "a\x07b"])
def test_what_cannot_be_kept_is_refused_beside_the_words(hull: Hull, words: str) -> None:
    with pytest.raises(EngineError) as refused:
        ask_shop(hull_id=hull.pk, written=Written(words=words), guest=a_guest())
    assert refused.value.field == "words"
    assert not Remark.objects.exists()


def test_two_thousand_letters_are_not_too_many(hull: Hull) -> None:
    assert len(a_question(hull, "a" * 2000).words) == 2000


def test_it_may_point_at_a_photo_that_its_owner_sees_and_at_no_other(hull: Hull) -> None:
    seen, hidden, elsewhere = a_photo(hull, "seen"), a_photo(hull, "no", shared=False), a_photo(a_hull("H-2"), "other")
    heard = ask_shop(hull_id=hull.pk, written=Written(words="What is this?", photo=seen.pk), guest=a_guest())
    assert heard.remark is not None
    assert heard.remark.photo == seen
    strike(seen)
    for photo in (hidden, elsewhere, seen):
        with pytest.raises(EngineError) as refused:
            ask_shop(hull_id=hull.pk, written=Written(words="What?", photo=photo.pk), guest=a_guest())
        assert refused.value.field == "photo"


# --- No flood


@pytest.mark.parametrize(("most", "span"), [IN_AN_HOUR, IN_A_DAY])
def test_no_more_come_than_a_person_writes_and_the_page_can_say_when_the_next_is_taken(
    hull: Hull, most: int, span: timedelta
) -> None:
    now = timezone.now()
    apart = span / (most + 1)
    for n in range(most):
        a_question(hull, f"Question {n}", at=now - span + apart * (n + 1))
    refused = ask_shop(hull_id=hull.pk, written=Written(words="One more."), guest=a_guest(now))
    assert refused.remark is None
    assert refused.retry_at is not None
    assert refused.retry_at == now + apart
    later = ask_shop(hull_id=hull.pk, written=Written(words="One more."), guest=a_guest(refused.retry_at))
    assert later.remark is not None


def test_another_boat_s_owner_is_not_held_off_by_it(hull: Hull) -> None:
    for n in range(IN_AN_HOUR[0]):
        a_question(hull, f"Question {n}")
    assert a_question(a_hull("H-2")).waits


def test_what_was_struck_counts_too(hull: Hull) -> None:
    for n in range(IN_AN_HOUR[0]):
        remark = a_question(hull, f"Question {n}")
        strike_remark(hull_id=hull.pk, remark=remark.pk, reason="noise", by=the_shop_owner(), at=timezone.now())
    assert ask_shop(hull_id=hull.pk, written=Written(words="More."), guest=a_guest()).retry_at is not None


# --- Answered


def test_an_answer_settles_all_that_was_asked_and_of_no_other_boat(hull: Hull) -> None:
    other = a_hull("H-2")
    a_question(hull, "One?")
    a_question(hull, "Two?")
    a_question(other)
    an_answer(hull)
    assert (waits(hull), waits(other)) == (0, 1)


def test_what_needs_no_answer_is_set_aside(hull: Hull) -> None:
    a_question(hull, "Thank you!")
    assert settle(hull_id=hull.pk, at=timezone.now()) == 1
    assert settle(hull_id=hull.pk, at=timezone.now()) == 0
    assert waits(hull) == 0


def test_the_shop_s_question_waits_until_the_owner_writes(hull: Hull) -> None:
    an_answer(hull, "The caning is loose: renew it?", asks=True)
    assert Remark.objects.waiting_for_owner().count() == 1
    a_question(hull, "Yes please.")
    assert Remark.objects.waiting_for_owner().count() == 0


def test_every_write_lets_the_screens_look_again(hull: Hull) -> None:
    remark = a_question(hull)
    beats = {Pulse.now().beat}
    an_answer(hull)
    beats.add(Pulse.now().beat)
    strike_remark(hull_id=hull.pk, remark=remark.pk, reason="by mistake", by=the_shop_owner(), at=timezone.now())
    beats.add(Pulse.now().beat)
    assert len(beats) == 3


# --- Struck


def test_a_struck_remark_stays_with_who_struck_it_and_why_and_waits_no_more(hull: Hull) -> None:
    remark = a_question(hull)
    boss, now = the_shop_owner(), timezone.now()
    strike_remark(hull_id=hull.pk, remark=remark.pk, reason="of another boat", by=boss, at=now)
    again = strike_remark(hull_id=hull.pk, remark=remark.pk, reason="twice", by=boss, at=now + timedelta(hours=1))
    assert (again.struck_because, again.struck_by, again.struck_at) == ("of another boat", boss, now)
    assert again.words == "May I come and look?"
    assert waits(hull) == 0


def test_a_struck_answer_leaves_the_letter_that_waits(hull: Hull) -> None:
    link_to(hull)
    first, second = an_answer(hull, "One."), an_answer(hull, "Two.")
    letter = Message.objects.get(kind=MessageKind.WORDS)
    assert letter.lines == [first.pk, second.pk]
    for remark, state in ((first, MessageState.WAITING), (second, MessageState.DROPPED)):
        strike_remark(hull_id=hull.pk, remark=remark.pk, reason="wrong", by=the_shop_owner(), at=timezone.now())
        letter.refresh_from_db()
        assert letter.state == state


def test_nothing_is_struck_without_a_reason_or_from_another_boat(hull: Hull) -> None:
    remark, other = a_question(hull), a_hull("H-2")
    for hull_id, reason in ((hull.pk, " "), (other.pk, "wrong")):
        with pytest.raises(EngineError) as refused:
            strike_remark(hull_id=hull_id, remark=remark.pk, reason=reason, by=the_shop_owner(), at=timezone.now())
        assert refused.value.field == "reason"
    remark.refresh_from_db()
    assert remark.struck_at is None


# --- The day of collecting


def test_a_boat_that_is_ready_may_be_fetched_on_a_day_and_a_later_word_holds() -> None:
    a_shop()
    hull, today = a_ready_hull(), timezone.localdate()
    for days in (0, 5):
        heard = propose_day(hull_id=hull.pk, day=today + timedelta(days=days), words="", guest=a_guest())
        assert heard.remark is not None
        assert heard.remark.waits
    assert waits(hull) == 2


@pytest.mark.parametrize("days", [-1, FARTHEST.days + 1])
def test_a_day_that_is_over_or_far_ahead_is_refused(days: int) -> None:
    a_shop()
    hull = a_ready_hull()
    with pytest.raises(EngineError) as refused:
        propose_day(hull_id=hull.pk, day=timezone.localdate() + timedelta(days=days), words="", guest=a_guest())
    assert refused.value.field == "day"


def test_a_boat_that_is_not_ready_cannot_be_fetched(hull: Hull) -> None:
    with pytest.raises(EngineError, match="not ready yet"):
        propose_day(hull_id=hull.pk, day=timezone.localdate(), words="", guest=a_guest())


def test_a_hand_s_number_is_no_guest_s(hull: Hull) -> None:
    number = uuid4()
    ask_shop(hull_id=hull.pk, written=Written(words="Mine."), guest=a_guest(client_id=number))
    sent = Hand(by=the_shop_owner(), at=timezone.now(), client_id=number)
    with pytest.raises(EngineError, match="something else"):
        answer_owner(hull_id=hull.pk, written=Written(words="Mine."), hand=sent)

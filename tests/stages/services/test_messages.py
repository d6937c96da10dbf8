"""What goes into the out-tray, what leaves it again unsent, and what boats' owners choose."""

from datetime import UTC, datetime, time, timedelta

import pytest
import time_machine
from django.utils import timezone

from hulls.models import Message, MessageKind, MessageState, Owner, ProgressLink, Wish
from shop.models import Shop
from stages.letters.bounce import Bounce
from stages.services import bench, notes
from stages.services.links import renew_link, withdraw_link
from stages.services.messages import (
    GATHER,
    came_back,
    choose_letters,
    prepare_day,
    send_again,
    stop_letters,
    take_out,
)
from tests.factories import a_hull, hand
from tests.stages.at_work import a_hull_at
from tests.stages.out_tray import (
    a_boat_heard_of,
    a_letter_waiting,
    a_shop_that_writes,
    a_step_done,
    all_but_the_hand_over,
    an_owner_hears,
    the_letter,
    wakes_of,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop() -> Shop:
    return a_shop_that_writes()


# --- News


def test_a_step_that_is_done_is_noted_once_and_due_when_the_thumb_could_have_slipped() -> None:
    done = a_step_done(a_boat_heard_of())
    letter = the_letter()
    assert done.entry is not None
    assert (letter.kind, letter.lines, letter.state) == (MessageKind.STEP, [done.entry.number], MessageState.WAITING)
    assert letter.due_at - letter.made_at == GATHER
    assert [job.due_at - letter.due_at < timedelta(seconds=1) for job in wakes_of(letter)] == [True]


def test_a_step_sent_twice_by_the_phone_is_noted_once() -> None:
    hull = a_boat_heard_of()
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    once = hand()
    for _ in range(2):
        assert bench.finish_stage(hull_id=hull.pk, stage="survey", hand=once).done
    assert len(the_letter().lines) == 1


def test_steps_that_come_before_it_goes_out_are_gathered_into_it() -> None:
    hull = a_boat_heard_of()
    all_but_the_hand_over(hull)
    due = the_letter(kind=MessageKind.STEP).due_at
    assert bench.put_back(hull_id=hull.pk, stage="final", hand=hand()).done
    a_step_done(hull, "final")
    letter = the_letter(kind=MessageKind.STEP)
    assert (len(letter.lines), letter.due_at) == (2, due)


@pytest.mark.parametrize(
    ("wish", "told"),
    [(Wish.EVERY, True), (Wish.MILESTONES, True), (Wish.ACT, False), (Wish.NOTHING, False)],
)
def test_who_hears_of_the_survey_which_is_a_milestone(wish: Wish, told: bool) -> None:
    a_step_done(a_boat_heard_of(wish))
    assert Message.objects.exists() is told


def test_without_a_link_or_an_address_nothing_is_noted() -> None:
    a_step_done(a_hull_at("rack", "H-1"))
    withdrawn = a_boat_heard_of(tag="H-2")
    withdraw_link(hull_id=withdrawn.pk, hand=hand())
    a_step_done(withdrawn)
    nameless = a_boat_heard_of(tag="H-3")
    Owner.objects.filter(pk=nameless.owner_id).update(email="")
    nameless.refresh_from_db()
    a_step_done(nameless)
    assert not Message.objects.exists()


def test_a_struck_line_leaves_the_letter_and_the_last_one_takes_it_along() -> None:
    hull = a_boat_heard_of()
    done = a_step_done(hull)
    assert done.entry is not None
    notes.strike_entry(hull_id=hull.pk, number=done.entry.number, reason="too early", hand=hand())
    letter = the_letter()
    assert (letter.lines, letter.state, letter.reason) == ([], MessageState.DROPPED, "What it told of was struck.")


def test_a_struck_line_takes_nothing_back_that_was_sent() -> None:
    hull = a_boat_heard_of()
    done = a_step_done(hull)
    Message.objects.update(state=MessageState.SENT)
    assert done.entry is not None
    notes.strike_entry(hull_id=hull.pk, number=done.entry.number, reason="too early", hand=hand())
    assert (the_letter().state, the_letter().lines) == (MessageState.SENT, [done.entry.number])


def test_a_boat_of_which_only_the_hand_over_is_left_can_be_collected() -> None:
    hull = a_boat_heard_of(Wish.ACT)
    all_but_the_hand_over(hull)
    assert the_letter().kind == MessageKind.ACT


# --- The link


def test_whoever_gets_a_link_gets_a_letter_with_it() -> None:
    hull = a_hull()
    renew_link(hull_id=hull.pk, hand=hand())
    assert the_letter().kind == MessageKind.LINK
    renew_link(hull_id=hull.pk, hand=hand())
    assert the_letter().kind == MessageKind.LINK, "the one that waits brings the new link"


def test_a_new_link_keeps_what_its_owner_chose_also_after_a_withdrawal() -> None:
    hull = a_hull()
    an_owner_hears(hull, Wish.MILESTONES, weekly=True)
    withdraw_link(hull_id=hull.pk, hand=hand())
    renew_link(hull_id=hull.pk, hand=hand())
    link = ProgressLink.objects.get(withdrawn_at=None)
    assert (link.wish, link.weekly) == (Wish.MILESTONES, True)


def test_whoever_wants_nothing_gets_no_letter_with_a_new_link_either() -> None:
    hull = a_hull()
    an_owner_hears(hull, Wish.NOTHING)
    renew_link(hull_id=hull.pk, hand=hand())
    assert not Message.objects.exists()


# --- The week's letter


FRIDAY = datetime(2031, 5, 9, 16, 0, tzinfo=UTC)


@time_machine.travel(FRIDAY - timedelta(hours=13), tick=False)
def test_the_week_s_letter_is_noted_the_night_before_once_and_for_those_who_want_it() -> None:
    wants, wants_not = a_hull("H-1"), a_hull("H-2")
    an_owner_hears(wants, Wish.NOTHING, weekly=True)
    an_owner_hears(wants_not, Wish.EVERY)
    for _ in range(2):
        prepare_day(now=timezone.now())
    letter = the_letter()
    assert (letter.hull, letter.kind, letter.due_at) == (wants, MessageKind.WEEKLY, FRIDAY)


@time_machine.travel(FRIDAY - timedelta(days=2), tick=False)
def test_on_other_nights_no_week_s_letter_is_noted() -> None:
    an_owner_hears(a_hull(), weekly=True)
    prepare_day(now=timezone.now())
    assert not Message.objects.exists()


def test_a_letter_that_no_job_is_about_any_more_is_woken_at_night() -> None:
    letter = a_letter_waiting()
    Message.objects.update(due_at=timezone.now() - timedelta(hours=2))
    before = len(wakes_of(letter))
    prepare_day(now=timezone.now())
    assert len(wakes_of(letter)) == before + 1


# --- Quiet hours


@time_machine.travel(datetime(2031, 5, 5, 21, 0, tzinfo=UTC), tick=False)
def test_what_comes_in_the_quiet_hours_is_due_when_they_end() -> None:
    Shop.objects.update(quiet_from=time(20), quiet_until=time(8))
    assert a_letter_waiting().due_at == datetime(2031, 5, 6, 8, 0, tzinfo=UTC)


# --- Chosen and stopped


def test_what_is_chosen_is_kept_and_chosen_again_is_the_same() -> None:
    an_owner_hears(a_hull())
    link = ProgressLink.objects.get()
    for _ in range(2):
        choose_letters(link=link.pk, wish=Wish.MILESTONES, weekly=True)
    link.refresh_from_db()
    assert (link.wish, link.weekly) == (Wish.MILESTONES, True)


def test_stopping_by_an_old_letter_stops_the_new_link_too_and_no_other_boat_s() -> None:
    hull, other = a_hull("H-1"), a_hull("H-2")
    an_owner_hears(hull, weekly=True)
    an_owner_hears(other)
    old = ProgressLink.objects.get(hull=hull)
    an_owner_hears(hull, weekly=True)
    assert [stop_letters(link=old.pk), stop_letters(link=old.pk), stop_letters(link=99999)] == [True, True, False]
    assert set(ProgressLink.objects.filter(hull=hull).values_list("wish", "weekly")) == {(Wish.NOTHING, False)}
    assert ProgressLink.objects.get(hull=other).wish == Wish.EVERY


# --- What the crew does


def test_a_letter_that_waits_is_taken_out_and_one_that_went_is_not() -> None:
    letter = a_letter_waiting()
    assert take_out(message=letter.pk)
    assert not take_out(message=letter.pk)
    letter.refresh_from_db()
    assert (letter.state, letter.reason) == (MessageState.DROPPED, "The shop took it out.")


@pytest.mark.parametrize("state", MessageState)
def test_only_a_letter_that_did_not_reach_its_owner_goes_out_again(state: MessageState) -> None:
    letter = a_letter_waiting()
    Message.objects.update(state=state, attempts=3, first_try_at=timezone.now(), written_at=timezone.now())
    again = state in (MessageState.FAILED, MessageState.BOUNCED, MessageState.KEPT)
    assert send_again(message=letter.pk) is again
    if again:
        letter.refresh_from_db()
        assert (letter.state, letter.written_at, letter.first_try_at) == (MessageState.WAITING, None, None)
        assert len(wakes_of(letter)) == 2


def test_two_letters_of_one_kind_that_failed_both_go_out_again() -> None:
    hull = a_boat_heard_of()
    for state in (MessageState.FAILED, MessageState.KEPT):
        a_step_done(hull, "survey")
        made = Message.objects.latest("pk")
        Message.objects.filter(pk=made.pk).update(state=state)
        line = made.lines[0]
        notes.strike_entry(hull_id=hull.pk, number=line, reason="again", hand=hand())
    assert [send_again(message=letter.pk) for letter in Message.objects.all()] == [True, True]


# --- What comes back


def test_a_letter_that_came_back_is_known_by_its_number_and_counts_once() -> None:
    letter = a_letter_waiting()
    Message.objects.update(state=MessageState.SENT, message_id="<7@example.org>")
    bounce = Bounce(message_id="<7@example.org>", status="5.1.1", words="no such mailbox")
    other = Bounce(message_id="<8@example.org>", status="5.1.1", words="no such mailbox")
    assert came_back([other]) == []
    assert came_back([bounce, bounce]) == [letter]
    assert came_back([bounce]) == []
    letter.refresh_from_db()
    assert (letter.state, letter.answer) == (MessageState.BOUNCED, "5.1.1 no such mailbox")

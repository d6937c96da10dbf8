"""Letters go out over a real mail server: once, with what their owner may see, and in no quiet hour."""

from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest
import time_machine
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from hulls.models import Hull, Message, MessageState, Owner, Photo, ProgressLink, Wish
from shop.models import Shop
from stages.services import bench, post
from stages.services.links import renew_link, withdraw_link
from stages.services.messages import prepare_day, send_again
from tests.factories import a_hull, hand
from tests.fixtures.post_office import PostOffice
from tests.stages.behind_the_link import a_photo, strike
from tests.stages.out_tray import (
    a_boat_heard_of,
    a_letter_waiting,
    a_shop_that_writes,
    a_step_done,
    all_but_the_hand_over,
    an_owner_hears,
    the_letter,
    wakes_of,
    when_due,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(settings: Settings, tmp_path: Path) -> Shop:
    settings.MEDIA_ROOT = tmp_path
    settings.PUBLIC_URL = "https://shop.example"
    return a_shop_that_writes()


def address_in(text: str, part: str) -> str:
    """The path of the first address of the shop's in a text that holds a part."""
    words = text.replace('"', " ").replace("<", " ").replace(">", " ").split()
    found = next(word for word in words if word.startswith("https://shop.example/") and part in word)
    return found.removeprefix("https://shop.example").partition("#")[0]


# --- Sent


def test_a_letter_that_is_due_is_sent_with_the_link_that_opens_the_boat_s_page(
    mail_on: PostOffice, client: Client
) -> None:
    letter = when_due(a_letter_waiting(name="Swift"))
    assert (letter.state, letter.attempts) == (MessageState.SENT, 1)
    (mail,) = mail_on.letters
    assert mail["To"] == "Ada Reed <owner@example.org>"
    assert mail["From"] == "The test shop <shop@example.org>"
    assert mail["Subject"] == "Swift: Finished: Survey and photos"
    assert mail["Message-ID"] == letter.message_id == f"<{letter.number}@example.org>"
    text, html = (part.get_content() for part in mail.iter_parts())
    for body in (text, html):
        assert "Finished: Survey and photos" in body
        assert client.get(address_in(body, "/p/")).status_code == 200


def test_neither_the_out_tray_nor_a_backup_of_it_opens_the_boat_s_page(mail_on: PostOffice) -> None:
    letter = when_due(a_letter_waiting())
    page = address_in(mail_on.letters[0].get_body(("plain",)).get_content(), "/p/")  # type: ignore[union-attr]
    token = page.split("/")[2]
    row = Message.objects.filter(pk=letter.pk).values().get()
    assert token not in repr(row)
    assert token not in repr(list(ProgressLink.objects.values()))
    assert "https://" not in letter.text + letter.html


def test_a_letter_that_was_sent_is_not_sent_again_however_often_it_is_looked_at(mail_on: PostOffice) -> None:
    letter = when_due(a_letter_waiting())
    for _ in range(3):
        when_due(letter)
    assert len(mail_on.came) == 1


def test_a_letter_that_is_not_due_waits(mail_on: PostOffice) -> None:
    letter = a_letter_waiting()
    post.deliver(message=letter.pk)
    letter.refresh_from_db()
    assert (letter.state, mail_on.came) == (MessageState.WAITING, [])


def test_names_in_any_script_arrive_as_they_are_written(mail_on: PostOffice) -> None:
    letter = when_due(a_letter_waiting(name="רוח 🛶", owner="山田 太郎"))
    assert letter.state == MessageState.SENT
    (mail,) = mail_on.letters
    assert mail["To"].addresses[0].display_name == "山田 太郎"
    assert "רוח 🛶" in mail["Subject"]
    _text, html = (part.get_content() for part in mail.iter_parts())
    assert '<h1 dir="auto">רוח 🛶</h1>' in html


def test_text_that_somebody_typed_is_shown_as_text(mail_on: PostOffice) -> None:
    when_due(a_letter_waiting(name="<b>Swift</b> & {{ shop }}\r\nBcc: e@example.org"))
    (mail,) = mail_on.letters
    text, html = (part.get_content() for part in mail.iter_parts())
    assert "<b>Swift</b> & {{ shop }}" in text
    assert "&lt;b&gt;Swift&lt;/b&gt; &amp; {{ shop }}" in html
    assert "<b>" not in html
    assert mail["Bcc"] is None


# --- Not needed any more


def test_a_letter_is_measured_by_what_its_owner_wants_when_it_is_due(mail_on: PostOffice) -> None:
    letter = a_letter_waiting()
    ProgressLink.objects.update(wish=Wish.ACT)
    assert when_due(letter).state == MessageState.DROPPED
    assert mail_on.came == []


def test_a_withdrawn_link_lets_nothing_out(mail_on: PostOffice) -> None:
    letter = a_letter_waiting()
    withdraw_link(hull_id=letter.hull_id, hand=hand())
    assert when_due(letter).reason == "The boat’s page has no open link."
    assert mail_on.came == []


def test_a_letter_that_waits_over_a_renewal_brings_the_new_link(mail_on: PostOffice, client: Client) -> None:
    hull = a_hull()
    renew_link(hull_id=hull.pk, hand=hand())
    old = when_due(the_letter())
    renew_link(hull_id=hull.pk, hand=hand())
    new = when_due(Message.objects.exclude(pk=old.pk).get())
    assert new.state == MessageState.SENT
    pages = [address_in(mail.get_body(("plain",)).get_content(), "/p/") for mail in mail_on.letters]  # type: ignore[union-attr]
    assert [client.get(page).status_code for page in pages] == [404, 200]


def test_a_boat_that_is_ready_asks_to_be_collected_as_long_as_it_is_ready(mail_on: PostOffice) -> None:
    all_but_the_hand_over(a_boat_heard_of(Wish.ACT, name="Swift"))
    assert when_due(the_letter()).subject == "Swift is ready to go home"


# --- The week's letter with its photos


def the_week_s_letter(hull: Hull) -> Message:
    an_owner_hears(hull, Wish.NOTHING, weekly=True)
    at = datetime(2031, 5, 9, 3, tzinfo=UTC)
    prepare_day(now=at)
    return the_letter()


def test_the_week_s_letter_has_the_photos_that_its_owner_may_see(mail_on: PostOffice) -> None:
    hull = a_hull()
    seen = a_photo(hull, "the new stem")
    a_photo(hull, "not for the owner", shared=False)
    strike(a_photo(hull, "of another boat"))
    assert when_due(the_week_s_letter(hull)).photos == [seen.pk]
    _plain, related = mail_on.letters[0].iter_parts()
    page, picture = related.iter_parts()
    assert picture.get_content_type() == "image/jpeg"
    assert f'src="cid:{picture["Content-ID"].strip("<>")}"' in page.get_content()
    assert "the new stem" in page.get_content()
    assert b"Exif" not in picture.get_content()


def test_a_photo_that_is_struck_between_two_attempts_is_not_in_the_second(mail_on: PostOffice) -> None:
    hull = a_hull()
    a_photo(hull, "the new stem")
    mail_on.to_data = "451 4.3.0 later"
    letter = when_due(the_week_s_letter(hull))
    assert letter.photos
    strike(Photo.objects.get())
    mail_on.to_data = "250 2.0.0 taken"
    assert when_due(letter).state == MessageState.SENT
    _text, html = mail_on.letters[0].iter_parts()
    assert html.get_content_type() == "text/html"
    assert "cid:" not in html.get_content()


# --- Refused, put off, broken off


def test_a_refusal_for_good_is_shown_with_the_server_s_words_and_not_tried_again(mail_on: PostOffice) -> None:
    mail_on.to_rcpt = "550 5.1.1 no such mailbox"
    letter = when_due(a_letter_waiting())
    assert (letter.state, letter.answer) == (MessageState.FAILED, "550 5.1.1 no such mailbox")
    assert len(wakes_of(letter)) == 1


def test_a_letter_that_is_put_off_goes_out_later_with_longer_and_longer_waits(mail_on: PostOffice) -> None:
    mail_on.to_data = "451 4.7.1 greylisted"
    letter, waits = a_letter_waiting(), []
    for _ in range(5):
        before = timezone.now()
        when_due(letter)
        waits.append(round((letter.due_at - before) / timedelta(minutes=1)))
        assert wakes_of(letter)[-1].due_at >= letter.due_at - timedelta(seconds=1)
    assert letter.state == MessageState.WAITING
    assert waits == [30, 60, 120, 180, 180]  # RFC 5321, 4.5.4.1: half an hour at least, then two or three hours


@pytest.mark.parametrize(("age", "state"), [(95, MessageState.WAITING), (97, MessageState.FAILED)])
def test_it_is_given_up_after_four_days(mail_on: PostOffice, age: int, state: MessageState) -> None:
    mail_on.to_data = "451 4.7.1 greylisted"
    letter = when_due(a_letter_waiting())
    Message.objects.update(first_try_at=timezone.now() - timedelta(hours=age))
    assert when_due(letter).state == state


def test_a_connection_that_breaks_after_the_letter_brings_the_same_letter_again_to_the_byte(
    mail_on: PostOffice,
) -> None:
    mail_on.hangs_up = True
    hull = a_boat_heard_of(name="Swift")
    a_step_done(hull)
    letter = when_due(the_letter())
    assert letter.state == MessageState.WAITING
    Owner.objects.update(name="Somebody Else")
    Hull.objects.update(name="Another Name")
    mail_on.hangs_up = False
    with time_machine.travel(timezone.now() + timedelta(hours=5)):
        assert when_due(letter).state == MessageState.SENT
    first, second = mail_on.came
    assert first == second


def test_a_worker_that_died_over_a_letter_leaves_it_to_the_next_when_its_lease_is_over(mail_on: PostOffice) -> None:
    letter = a_letter_waiting()
    free_at = timezone.now() + timedelta(minutes=2)
    Message.objects.update(state=MessageState.SENDING, lease_until=free_at)
    post.deliver(message=letter.pk)
    assert mail_on.came == []
    assert wakes_of(letter)[-1].due_at > free_at
    with time_machine.travel(free_at + timedelta(seconds=2)):
        post.deliver(message=letter.pk)
    assert len(mail_on.came) == 1


def test_a_worker_that_was_too_slow_changes_nothing(mail_on: PostOffice, monkeypatch: pytest.MonkeyPatch) -> None:
    letter = a_letter_waiting()
    begin = post._begin

    def lose_the_lease(held: Message, now: datetime) -> bool:
        Message.objects.update(token=None, state=MessageState.SENT)
        return begin(held, now)

    monkeypatch.setattr(post, "_begin", lose_the_lease)
    assert when_due(letter).state == MessageState.SENT
    assert (mail_on.came, letter.attempts) == ([], 0)


def test_news_that_comes_while_a_letter_is_put_off_is_a_letter_of_its_own(mail_on: PostOffice) -> None:
    mail_on.to_data = "451 4.7.1 greylisted"
    hull = a_boat_heard_of(Wish.EVERY)
    all_but_the_hand_over(hull)
    for letter in Message.objects.all():
        when_due(letter)
    assert bench.put_back(hull_id=hull.pk, stage="final", hand=hand()).done
    a_step_done(hull, "final")
    assert sorted(Message.objects.filter(kind="step").values_list("attempts", flat=True)) == [0, 1]


def test_an_address_that_is_none_is_shown_and_sent_to_once_it_is_mended(mail_on: PostOffice) -> None:
    letter = a_letter_waiting()
    Owner.objects.update(email="ada@example.org\r\nBcc: ben@example.org")
    assert when_due(letter).state == MessageState.FAILED
    assert letter.reason == "That is no e-mail address. Correct it in the hull’s particulars."
    Owner.objects.update(email="ada@example.org")
    assert send_again(message=letter.pk)
    assert when_due(letter).state == MessageState.SENT
    assert mail_on.envelopes == [("shop@example.org", ["ada@example.org"])]


# --- Quiet hours


def test_a_letter_that_comes_late_into_the_quiet_hours_waits_for_their_end(mail_on: PostOffice) -> None:
    letter = a_letter_waiting()
    Shop.objects.update(quiet_from=time(20), quiet_until=time(8))
    with time_machine.travel(datetime(2031, 5, 5, 23, 0, tzinfo=UTC), tick=False):
        when_due(letter)
        assert (letter.state, letter.due_at) == (MessageState.WAITING, datetime(2031, 5, 6, 8, 0, tzinfo=UTC))
        assert wakes_of(letter)[-1].due_at == letter.due_at
    assert mail_on.came == []


# --- Off


def test_while_mail_is_off_letters_are_written_and_kept(settings: Settings) -> None:
    assert settings.MAIL_URL == ""
    letter = when_due(a_letter_waiting(name="Swift"))
    assert (letter.state, letter.reason) == (MessageState.KEPT, "Mail is off: no mail server is set.")
    assert letter.subject == "Swift: Finished: Survey and photos"


def test_the_demo_shop_writes_to_nobody_whatever_is_set(mail_on: PostOffice) -> None:
    Shop.objects.update(is_demo=True)
    letter = when_due(a_letter_waiting())
    assert (letter.state, letter.reason) == (MessageState.KEPT, "This is the demo shop: it writes to nobody.")
    assert mail_on.came == []


# --- RFC 8058


def test_every_letter_can_be_stopped_by_one_press_in_the_mail_program(mail_on: PostOffice, client: Client) -> None:
    when_due(a_letter_waiting())
    (mail,) = mail_on.letters
    # RFC 8058, 3.1: both headers, one HTTPS address; 3.2: a POST with these words, no cookie, no redirect.
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    address = mail["List-Unsubscribe"].strip()
    assert address.startswith("<https://")
    stop = address_in(address, "/stop/")
    assert client.post(stop, {"List-Unsubscribe": "One-Click"}).status_code == 200
    assert ProgressLink.objects.get().wish == Wish.NOTHING
    assert client.get(stop.replace("/stop/", "/p/")).status_code == 404, "what stops letters opens no page"

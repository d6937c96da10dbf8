"""The out-tray: what waits, what was sent, what was not and why, and each letter as its owner reads it."""

from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries, Settings

from hulls.models import Message, MessageState, ProgressLink
from tests.factories import a_crew_member, a_hull, the_shop_owner
from tests.fixtures.post_office import PostOffice
from tests.stages.behind_the_link import a_photo
from tests.stages.out_tray import (
    a_boat_heard_of,
    a_letter_waiting,
    a_shop_that_writes,
    a_step_done,
    when_due,
)

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}
PAGES = ["/letters/", "/letters/{pk}/", "/letters/{pk}/mail/"]
ACTS = ["/letters/{pk}/take-out/", "/letters/{pk}/again/"]


@pytest.fixture
def crew(client: Client, settings: Settings, tmp_path: Path) -> Client:
    settings.MEDIA_ROOT = tmp_path
    a_shop_that_writes()
    client.force_login(a_crew_member())
    return client


def shown(crew: Client, address: str) -> str:
    return crew.get(address).content.decode()


# --- The tray


def test_what_waits_was_sent_and_was_not_lies_on_its_own_shelf_with_reasons(crew: Client, mail_on: PostOffice) -> None:
    a_letter_waiting(tag="H-1", name="Waiter")
    sent = a_letter_of(crew, "H-2", "Sender")
    assert sent.state == MessageState.SENT
    mail_on.to_rcpt = "550 5.1.1 no such mailbox"
    a_letter_of(crew, "H-3", "Failer")
    shelves = {name: shown(crew, f"/letters/?shelf={name}") for name in ("waiting", "sent", "unsent")}
    assert [("H-1" in page, "H-2" in page, "H-3" in page) for page in shelves.values()] == [
        (True, False, False),
        (False, True, False),
        (False, False, True),
    ]
    assert "The mail server refused it for good." in shelves["unsent"]
    assert "1 letter did not reach its owner." in shelves["waiting"]
    assert "Waiting: 1" in shelves["sent"]


def a_letter_of(crew: Client, tag: str, name: str) -> Message:
    hull = a_boat_heard_of(tag=tag, name=name)
    a_step_done(hull)
    return when_due(Message.objects.get(hull=hull))


def test_it_says_why_nothing_is_sent(crew: Client) -> None:
    assert "Mail is off: no mail server is set." in shown(crew, "/letters/")


def test_it_shows_one_boat_s_alone(crew: Client) -> None:
    a_letter_waiting(tag="H-1")
    a_step_done(a_boat_heard_of(tag="H-2"))
    page = shown(crew, "/letters/?hull=H-1")
    assert "Waiting: 1" in page
    assert '<span class="tag">H-2' not in page


def test_an_empty_shelf_says_so(crew: Client) -> None:
    assert "No letter lies here." in shown(crew, "/letters/?shelf=sent")


def test_a_shelf_that_is_none_is_not_found(crew: Client) -> None:
    assert crew.get("/letters/?shelf=attic").status_code == 404


@pytest.mark.parametrize("many", [1, 12])
def test_its_queries_do_not_grow_with_the_letters(
    crew: Client, many: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    now = timezone.now()
    for n in range(many):
        Message.objects.create(hull=a_hull(f"H-{n}"), kind="step", key=f"step:{n}", made_at=now, due_at=now)
    crew.get("/letters/")
    with django_assert_num_queries(6):  # the session, the pulse, who it is, the states, how many, and the rows
        crew.get("/letters/")


# --- One letter


def test_a_letter_that_waits_is_shown_as_it_would_go_out_now_without_the_link(crew: Client) -> None:
    letter = a_letter_waiting(name="Swift <b>")
    page = shown(crew, f"/letters/{letter.pk}/")
    for part in ("Swift &lt;b&gt;", "Finished: Survey and photos", "owner@example.org", "As it would go out now"):
        assert part in page
    assert "/p/" not in page
    assert "/stop/" not in page
    letter.refresh_from_db()
    assert letter.written_at is None


def test_it_is_shown_as_a_mail_program_shows_it_and_may_do_nothing_there(crew: Client) -> None:
    letter = a_letter_waiting(name="Swift")
    answer = crew.get(f"/letters/{letter.pk}/mail/")
    page = answer.content.decode()
    assert '<h1 dir="auto">Swift</h1>' in page
    assert "/p/" not in page
    assert "/stop/" not in page
    policy = answer["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "style-src 'sha256-" in policy
    assert "sandbox" in policy


def test_the_week_s_letter_is_shown_with_its_photos(crew: Client) -> None:
    hull = a_boat_heard_of()
    ProgressLink.objects.update(weekly=True)
    a_photo(hull, "the new stem")
    letter = Message.objects.create(
        hull=hull, kind="weekly", key="weekly", made_at=timezone.now(), due_at=timezone.now()
    )
    page = shown(crew, f"/letters/{letter.pk}/mail/")
    assert 'alt="the new stem"' in page
    assert 'src="/photos/' in page


def test_one_that_would_not_go_out_any_more_says_so(crew: Client) -> None:
    letter = a_letter_waiting()
    ProgressLink.objects.update(wish="nothing")
    assert "wants no such letter any more" in shown(crew, f"/letters/{letter.pk}/")
    assert crew.get(f"/letters/{letter.pk}/mail/").status_code == 404


# --- What the crew does


def test_one_that_waits_is_taken_out_and_again_without_harm(crew: Client) -> None:
    letter = a_letter_waiting()
    for headers in ({}, HTMX):
        answer = crew.post(f"/letters/{letter.pk}/take-out/", headers=headers)
        assert (answer.status_code, answer["Location"]) == (302, f"/letters/{letter.pk}/")
    letter.refresh_from_db()
    assert letter.state == MessageState.DROPPED


def test_one_that_failed_is_sent_again_and_the_second_press_is_no_second_letter(
    crew: Client, mail_on: PostOffice
) -> None:
    mail_on.to_rcpt = "550 5.1.1 no such mailbox"
    letter = a_letter_of(crew, "H-1", "Swift")
    assert "550 5.1.1 no such mailbox" in shown(crew, f"/letters/{letter.pk}/")
    mail_on.to_rcpt = "250 fine"
    crew.post(f"/letters/{letter.pk}/again/")
    second = crew.post(f"/letters/{letter.pk}/again/", follow=True).content.decode()
    assert "not one to be sent again" in second
    assert when_due(letter).state == MessageState.SENT
    assert len(mail_on.came) == 1


@pytest.mark.parametrize("path", PAGES)
def test_pages_are_only_read(crew: Client, path: str) -> None:
    assert crew.post(path.format(pk=a_letter_waiting().pk)).status_code == 405


@pytest.mark.parametrize("path", ACTS)
def test_acts_are_only_sent(crew: Client, path: str) -> None:
    assert crew.get(path.format(pk=a_letter_waiting().pk)).status_code == 405


@pytest.mark.parametrize("path", [*PAGES[1:], *ACTS])
def test_an_unknown_letter_is_not_found(crew: Client, path: str) -> None:
    method = crew.post if path in ACTS else crew.get
    assert method(path.format(pk=99999)).status_code == 404


def test_whoever_works_there_is_led_to_it(crew: Client) -> None:
    assert 'href="/letters/"' in shown(crew, "/")
    crew.force_login(the_shop_owner())
    assert 'href="/letters/"' in shown(crew, "/")

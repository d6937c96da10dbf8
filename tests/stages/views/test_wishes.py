"""A boat's owner chooses what we write about, and stops it by the address in a letter."""

import pytest
from django.test import Client

from hulls.mail_tokens import mail_token, stop_token
from hulls.models import Hull, Owner, ProgressLink, Wish
from stages.services.links import withdraw_link
from tests.factories import a_hull, a_shop, hand
from tests.stages.behind_the_link import NEVER_MADE, link_to, without_date

pytestmark = pytest.mark.django_db

ONE_CLICK = {"List-Unsubscribe": "One-Click"}  # RFC 8058, 3.2
HTMX = {"HX-Request": "true"}


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull()


@pytest.fixture
def page(hull: Hull) -> str:
    return link_to(hull)


@pytest.fixture
def strict() -> Client:
    return Client(enforce_csrf_checks=True)


def chosen() -> tuple[str, bool]:
    link = ProgressLink.objects.get(withdrawn_at=None)
    return link.wish, link.weekly


def stop_of(hull: Hull) -> str:
    return f"/stop/{stop_token(ProgressLink.objects.get(hull=hull, withdrawn_at=None).pk)}/"


# --- Chosen


def test_the_page_shows_what_is_chosen(strict: Client, page: str) -> None:
    shown = strict.get(page).content.decode()
    assert 'name="wish" value="act"' in shown
    assert shown.count("checked") == 1
    ProgressLink.objects.update(wish=Wish.EVERY, weekly=True)
    assert strict.get(page).content.decode().count("checked") == 2


@pytest.mark.parametrize("wish", Wish)
@pytest.mark.parametrize("weekly", [True, False])
def test_a_choice_is_kept_without_script_cookie_or_log_in(strict: Client, page: str, wish: str, weekly: bool) -> None:
    answer = strict.post(page + "letters/", {"wish": wish, **({"weekly": "on"} if weekly else {})})
    assert (answer.status_code, answer["Location"]) == (303, page + "#letters")
    assert not answer.cookies
    assert chosen() == (wish, weekly)


def test_sent_twice_and_by_htmx_it_is_the_same_choice(strict: Client, page: str) -> None:
    for headers in ({}, {}, HTMX):
        assert strict.post(page + "letters/", {"wish": "milestones"}, headers=headers).status_code == 303
    assert chosen() == (Wish.MILESTONES, False)


@pytest.mark.parametrize("sent", [{}, {"wish": ""}, {"wish": "daily", "weekly": "on"}, {"wish": "a\r\nb"}])
def test_what_is_no_choice_is_refused_beside_it_and_changes_nothing(
    strict: Client, page: str, sent: dict[str, str]
) -> None:
    answer = strict.post(page + "letters/", sent)
    assert answer.status_code == 422
    assert "Choose one of these." in answer.content.decode()
    assert chosen() == (Wish.ACT, False)


def test_a_choice_by_the_link_in_a_letter_counts_too(strict: Client, hull: Hull, page: str) -> None:
    token = mail_token(ProgressLink.objects.get(hull=hull).pk)
    assert strict.get(f"/p/{token}/").status_code == 200
    assert strict.post(f"/p/{token}/letters/", {"wish": "every"}).status_code == 303
    assert chosen() == (Wish.EVERY, False)


def test_without_an_address_the_page_says_so(strict: Client, hull: Hull, page: str) -> None:
    assert "no e-mail address of yours" not in strict.get(page).content.decode()
    Owner.objects.update(email="")
    assert "no e-mail address of yours" in strict.get(page).content.decode()


@pytest.mark.parametrize("method", ["get", "put", "patch", "delete"])
def test_choosing_takes_a_post_alone(strict: Client, page: str, method: str) -> None:
    assert getattr(strict, method)(page + "letters/").status_code == 405


def test_an_unknown_and_a_withdrawn_link_choose_nothing(strict: Client, hull: Hull, page: str) -> None:
    withdraw_link(hull_id=hull.pk, hand=hand())
    unknown = strict.post(f"/p/{NEVER_MADE}/letters/", {"wish": "every"})
    assert unknown.status_code == 404
    assert without_date(strict.post(page + "letters/", {"wish": "every"})) == without_date(unknown)
    assert ProgressLink.objects.get().wish == Wish.ACT


# --- Stopped


def test_looking_at_the_stop_asks_and_stops_nothing(strict: Client, hull: Hull, page: str) -> None:
    for method in (strict.get, strict.head):
        answer = method(stop_of(hull))
        assert answer.status_code == 200
        assert not answer.cookies
    assert chosen() == (Wish.ACT, False)
    assert "No more letters about this boat?" in strict.get(stop_of(hull)).content.decode()


@pytest.mark.parametrize("body", [ONE_CLICK, {}])
def test_sending_to_it_stops_the_letters_at_once_without_cookie_or_redirect(
    strict: Client, hull: Hull, page: str, body: dict[str, str]
) -> None:
    ProgressLink.objects.update(wish=Wish.EVERY, weekly=True)
    for _ in range(2):
        answer = strict.post(stop_of(hull), body)
        assert answer.status_code == 200
        assert not answer.cookies
        assert "We write no more" in answer.content.decode()
    assert chosen() == (Wish.NOTHING, False)


def test_it_works_from_a_mail_service_that_sends_it_as_a_form_of_parts(strict: Client, hull: Hull, page: str) -> None:
    # RFC 8058, 3.1: application/x-www-form-urlencoded or multipart/form-data.
    body = "List-Unsubscribe=One-Click"
    answer = strict.post(stop_of(hull), body, content_type="application/x-www-form-urlencoded")
    assert answer.status_code == 200
    assert chosen() == (Wish.NOTHING, False)


def test_it_still_stops_after_the_link_was_withdrawn(strict: Client, hull: Hull, page: str) -> None:
    stop = stop_of(hull)
    withdraw_link(hull_id=hull.pk, hand=hand())
    assert strict.post(stop, ONE_CLICK).status_code == 200
    assert ProgressLink.objects.get().wish == Wish.NOTHING


@pytest.mark.parametrize("token", [NEVER_MADE, "x", "1.x", "%00", "a" * 500, stop_token(99999), mail_token(1)])
@pytest.mark.parametrize("method", ["get", "post"])
def test_a_wrong_token_stops_nothing_and_learns_nothing(
    strict: Client, page: str, hull: Hull, token: str, method: str
) -> None:
    answer = getattr(strict, method)(f"/stop/{token}/")
    assert answer.status_code == 404
    assert answer["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    assert chosen() == (Wish.ACT, False)


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_it_knows_no_other_method(strict: Client, hull: Hull, page: str, method: str) -> None:
    assert getattr(strict, method)(stop_of(hull)).status_code == 405

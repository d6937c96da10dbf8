"""A boat's owner writes behind the link, says when they come, and chooses a colour: no log-in, no script, no cookie."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from hulls.models import Hull, Remark
from stages.services.colours import withdraw_colour
from stages.services.links import withdraw_link
from stages.services.thread import IN_AN_HOUR, strike_remark
from tests.factories import a_hull, a_shop, hand, the_shop_owner
from tests.stages.behind_the_link import NEVER_MADE, a_photo, link_to, without_date
from tests.stages.handing_over import a_finished_boat, goes_home
from tests.stages.writing import BLUE, GREEN, a_question, a_ready_hull, an_answer, an_asked_colour

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}
POSTS = ("ask/", "collect/", "colour/")


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


def sent(**more: str) -> dict[str, str]:
    return {"client_id": str(uuid4()), **more}


def shown(client: Client, page: str) -> str:
    return client.get(page).content.decode()


# --- Asked


def test_a_question_is_kept_and_shown_without_script_cookie_or_log_in(strict: Client, page: str) -> None:
    answer = strict.post(page + "ask/", sent(words="May I come\nand look?"))
    assert (answer.status_code, answer["Location"]) == (303, page + "#thread")
    assert not answer.cookies
    assert "<p>May I come<br>and look?</p>" in shown(strict, page)


def test_sent_twice_and_by_htmx_it_is_kept_once(strict: Client, page: str) -> None:
    once = sent(words="Once.")
    for headers in ({}, {}, HTMX):
        assert strict.post(page + "ask/", once, headers=headers).status_code == 303
    assert Remark.objects.count() == 1


def test_other_words_on_the_same_form_are_refused_and_the_form_that_comes_back_sends_them(
    strict: Client, page: str
) -> None:
    once = sent(words="Once.")
    strict.post(page + "ask/", once)
    refused = strict.post(page + "ask/", {**once, "words": "And this."})
    html = refused.content.decode()
    assert refused.status_code == 422
    assert "had sent something else" in html
    assert "And this.</textarea>" in html
    assert once["client_id"] not in html


@pytest.mark.parametrize(
    ("words", "why"), [("", "Write something first."), ("a\x07b", "cannot be shown"), ("a" * 2001, "2000")]
)
def test_what_cannot_be_kept_is_refused_and_what_was_typed_stays(
    strict: Client, page: str, words: str, why: str
) -> None:
    answer = strict.post(page + "ask/", sent(words=words))
    assert answer.status_code == 422
    assert why in answer.content.decode()
    assert words in answer.content.decode()
    assert not Remark.objects.exists()


def test_a_flood_is_held_off_and_what_was_typed_stays(strict: Client, hull: Hull, page: str) -> None:
    for n in range(IN_AN_HOUR[0]):
        a_question(hull, f"Question {n}")
    answer = strict.post(page + "ask/", sent(words="One more."))
    assert answer.status_code == 429
    assert 0 < int(answer["Retry-After"]) <= 3600
    assert "One more.</textarea>" in answer.content.decode()
    assert "You have written a lot" in answer.content.decode()


def test_what_somebody_types_is_shown_as_text(strict: Client, page: str) -> None:
    strict.post(page + "ask/", sent(words="<script>alert(1)</script>"))
    assert "&lt;script&gt;alert(1)" in shown(strict, page)
    assert "<script" not in shown(strict, page)


def test_a_photo_that_is_asked_about_stands_beside_the_question(strict: Client, hull: Hull, page: str) -> None:
    photo = a_photo(hull, "the bow")
    form = strict.get(page, {"photo": photo.pk}).content.decode()
    assert "About this photo:" in form
    assert f'name="photo" value="{photo.pk}"' in form
    strict.post(page + "ask/", sent(words="What is this?", photo=str(photo.pk)))
    assert Remark.objects.get().photo == photo
    for other in ("999", "x", "", "-1"):
        assert "About this photo:" not in strict.get(page, {"photo": other}).content.decode()


def test_a_photo_of_another_boat_is_refused(strict: Client, page: str) -> None:
    other = a_photo(a_hull("H-2"), "other")
    answer = strict.post(page + "ask/", sent(words="What is this?", photo=str(other.pk)))
    assert answer.status_code == 422
    assert f'value="{other.pk}"' not in answer.content.decode()  # "Send it without" needs no more than a press
    assert not Remark.objects.exists()


# --- Read


def test_the_answer_is_the_shop_s_and_nobody_of_the_crew_is_named(strict: Client, hull: Hull, page: str) -> None:
    a_question(hull)
    an_answer(hull, "On any morning.")
    html = shown(strict, page)
    assert "On any morning." in html
    assert "The test shop" in html
    assert "hand" not in html.partition('class="thread"')[2].partition("</ol>")[0]


def test_what_was_struck_says_so_and_not_what_it_said_nor_why(strict: Client, hull: Hull, page: str) -> None:
    remark = an_answer(hull, "Of another boat.")
    strike_remark(hull_id=hull.pk, remark=remark.pk, reason="mixed up", by=the_shop_owner(), at=timezone.now())
    html = shown(strict, page)
    assert "The shop took back what it wrote." in html
    assert "Of another boat." not in html
    assert "mixed up" not in html


def test_a_question_of_the_shop_s_is_a_thing_to_do_until_it_is_answered(strict: Client, hull: Hull, page: str) -> None:
    an_answer(hull, "Shall we renew the caning?", asks=True)
    assert "Answer our question" in shown(strict, page)
    strict.post(page + "ask/", sent(words="Yes please."))
    assert "Answer our question" not in shown(strict, page)


def test_another_boat_s_thread_is_not_shown(strict: Client, page: str) -> None:
    a_question(a_hull("H-2"), "Is mine done?")
    assert "Is mine done?" not in shown(strict, page)


# --- Collected


def test_a_ready_boat_asks_when_its_owner_comes_and_shows_the_day(strict: Client) -> None:
    a_shop()
    page = link_to(a_ready_hull())
    assert "Say when you come for your boat" in shown(strict, page)
    day = timezone.localdate() + timedelta(days=3)
    answer = strict.post(page + "collect/", sent(day=day.isoformat(), words="At ten."))
    assert (answer.status_code, answer["Location"]) == (303, page + "#thread")
    html = shown(strict, page)
    assert "You come on" in html
    assert "At ten." in html
    assert "Say when you come for your boat" not in html


@pytest.mark.parametrize("day", ["", "soon", "2001-01-01", "9999-01-01", "2026-13-01"])
def test_a_day_that_cannot_be_is_refused_beside_it_and_the_words_stay(strict: Client, day: str) -> None:
    a_shop()
    page = link_to(a_ready_hull())
    answer = strict.post(page + "collect/", sent(day=day, words="At ten."))
    assert answer.status_code == 422
    assert "At ten." in answer.content.decode()
    assert not Remark.objects.exists()


def test_a_boat_in_work_asks_no_such_thing_and_takes_no_day(strict: Client, page: str) -> None:
    assert 'id="collect"' not in shown(strict, page)
    refused = strict.post(page + "collect/", sent(day=timezone.localdate().isoformat(), words="At ten."))
    assert refused.status_code == 422
    assert "The boat is not ready yet." in refused.content.decode()
    assert "At ten.</textarea>" in refused.content.decode()  # in the thread's form, to be sent from there
    assert not Remark.objects.exists()


def test_whoever_has_the_boat_back_is_not_told_that_it_is_not_ready(strict: Client) -> None:
    a_shop()
    hull = a_finished_boat()
    page = link_to(hull)
    assert goes_home(hull).done
    refused = strict.post(page + "collect/", sent(day=timezone.localdate().isoformat(), words="At ten."))
    assert refused.status_code == 422
    assert "You have your boat back already." in refused.content.decode()


def test_a_day_that_is_over_is_asked_for_anew(strict: Client) -> None:
    a_shop()
    hull = a_ready_hull()
    page, day = link_to(hull), timezone.localdate() + timedelta(days=1)
    strict.post(page + "collect/", sent(day=day.isoformat()))
    assert "You come on" in shown(strict, page)
    Remark.objects.update(day=day - timedelta(days=2))
    assert "You come on" not in shown(strict, page)
    assert "Say when you come for your boat" in shown(strict, page)


# --- The colour


def test_the_colours_are_offered_and_the_choice_is_shown(strict: Client, hull: Hull, page: str) -> None:
    ask = an_asked_colour(hull)
    html = shown(strict, page)
    assert [name for name in (GREEN.name, BLUE.name, "Choose the colour", BLUE.colour) if name not in html] == []
    answer = strict.post(page + "colour/", sent(ask=str(ask.pk), offer="1"))
    assert (answer.status_code, answer["Location"]) == (303, page + "#colour")
    hull.refresh_from_db()
    assert hull.colour == BLUE.colour
    html = shown(strict, page)
    assert "We paint your boat so." in html
    assert "Choose the colour" not in html


def test_sent_twice_it_is_one_choice_and_another_one_comes_too_late(strict: Client, hull: Hull, page: str) -> None:
    ask = an_asked_colour(hull)
    for _ in range(2):
        assert strict.post(page + "colour/", sent(ask=str(ask.pk), offer="1")).status_code == 303
    late = strict.post(page + "colour/", sent(ask=str(ask.pk), offer="0"))
    assert late.status_code == 422
    assert "You had chosen another one" in late.content.decode()
    hull.refresh_from_db()
    assert hull.colour == BLUE.colour
    described = strict.post(page + "colour/", sent(ask=str(ask.pk), offer="another", words="moss after rain"))
    assert "moss after rain</textarea>" in described.content.decode()  # below, where to write to the shop


def test_a_colour_that_is_described_says_that_the_shop_looks_at_it(strict: Client, hull: Hull, page: str) -> None:
    ask = an_asked_colour(hull)
    strict.post(page + "colour/", sent(ask=str(ask.pk), offer="another", words="moss after rain"))
    html = shown(strict, page)
    assert "“moss after rain”" in html
    assert "tell you when it is settled" in html


@pytest.mark.parametrize("more", [{}, {"offer": ""}, {"offer": "9"}, {"offer": "x"}, {"offer": "another"}])
def test_what_is_no_choice_is_refused_and_what_was_typed_stays(
    strict: Client, hull: Hull, page: str, more: dict[str, str]
) -> None:
    ask = an_asked_colour(hull)
    words = {} if more.get("offer") == "another" else {"words": "like moss"}
    answer = strict.post(page + "colour/", sent(ask=str(ask.pk), **words, **more))
    assert answer.status_code == 422
    assert words.get("words", "") in answer.content.decode()
    ask.refresh_from_db()
    assert ask.chosen_at is None


def test_where_the_question_was_withdrawn_it_says_so_and_the_words_can_be_sent_all_the_same(
    strict: Client, hull: Hull, page: str
) -> None:
    ask = an_asked_colour(hull)
    withdraw_colour(hull_id=hull.pk, ask=ask.pk, at=timezone.now())
    answer = strict.post(page + "colour/", sent(ask=str(ask.pk), offer="another", words="moss after rain"))
    assert answer.status_code == 422
    assert "We do not ask for this colour any more." in answer.content.decode()
    assert "moss after rain</textarea>" in answer.content.decode()


def test_a_choice_that_comes_to_another_question_chooses_nothing_and_that_one_can_be_answered(
    strict: Client, hull: Hull, page: str
) -> None:
    old = an_asked_colour(hull, GREEN, BLUE)
    withdraw_colour(hull_id=hull.pk, ask=old.pk, at=timezone.now())
    new = an_asked_colour(hull, BLUE, GREEN)
    html = strict.post(page + "colour/", sent(ask=str(old.pk), offer="0")).content.decode()
    assert "We do not ask for this colour any more." in html
    assert f'name="ask" value="{new.pk}"' in html
    assert " checked" not in html[html.index('id="colour"') : html.index("</form>", html.index('id="colour"'))]


# --- Whom it tells nothing


@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize("method", ["get", "put", "patch", "delete"])
def test_it_takes_a_post_alone(strict: Client, page: str, path: str, method: str) -> None:
    assert getattr(strict, method)(page + path).status_code == 405


@pytest.mark.parametrize("path", POSTS)
def test_an_unknown_and_a_withdrawn_link_take_nothing(strict: Client, hull: Hull, page: str, path: str) -> None:
    withdraw_link(hull_id=hull.pk, hand=hand())
    unknown = strict.post(f"/p/{NEVER_MADE}/{path}", sent(words="Hello?"))
    assert unknown.status_code == 404
    assert without_date(strict.post(page + path, sent(words="Hello?"))) == without_date(unknown)
    assert not Remark.objects.exists()

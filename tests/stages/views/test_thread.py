"""The shop answers boats' owners, asks for colours, and sees who waits."""

from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from hulls.models import ColourAsk, Hull, Remark
from shop.models import Role
from stages.services.colours import choose_colour
from tests.factories import a_crew_member, a_hull, a_shop
from tests.stages.behind_the_link import a_photo
from tests.stages.writing import a_guest, a_question, an_answer, an_asked_colour

pytestmark = pytest.mark.django_db

THREAD = "/hulls/H-1/thread/"
HTMX = {"HX-Request": "true"}


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull()


@pytest.fixture
def crew() -> Client:
    client = Client()
    client.force_login(a_crew_member())
    return client


def sent(**more: str) -> dict[str, str]:
    return {"client_id": str(uuid4()), **more}


def shown(client: Client, page: str = THREAD) -> str:
    return client.get(page).content.decode()


# --- Answered


def test_an_answer_stands_in_the_thread_with_who_wrote_it(crew: Client, hull: Hull) -> None:
    a_question(hull)
    assert "waits for an answer" in shown(crew)
    answer = crew.post(THREAD, sent(words="On any morning."), follow=True)
    html = answer.content.decode()
    assert "On any morning." in html
    assert "waits for an answer" not in html
    assert "A letter tells its owner" in html


def test_sent_twice_and_by_htmx_it_is_one_answer(crew: Client, hull: Hull) -> None:
    once = sent(words="On any morning.", asks="on")
    for headers in ({}, {}, HTMX):
        assert crew.post(THREAD, once, headers=headers).status_code == 302
    assert Remark.objects.get().asks


@pytest.mark.parametrize("words", ["", "a\x07b", "a" * 2001])
def test_what_cannot_be_kept_is_refused_and_stays(crew: Client, hull: Hull, words: str) -> None:
    answer = crew.post(THREAD, sent(words=words))
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Remark.objects.exists()


def test_what_needs_no_answer_is_set_aside(crew: Client, hull: Hull) -> None:
    a_question(hull, "Thank you!")
    assert "No answer needed" in shown(crew)
    assert "1 remark is set aside." in crew.post(THREAD + "set-aside/", follow=True).content.decode()
    assert "No answer needed" not in shown(crew)


def test_a_photo_that_is_asked_about_is_seen(crew: Client, hull: Hull) -> None:
    photo = a_photo(hull, "the bow")
    a_question(hull)
    Remark.objects.update(photo=photo)
    assert f"/photos/{photo.pk}/medium/" in shown(crew)


# --- Struck


def test_a_remark_is_struck_with_a_reason_and_the_crew_see_why(crew: Client, hull: Hull) -> None:
    remark = an_answer(hull, "Of another boat.")
    assert "Why it is struck" in shown(crew, f"{THREAD}?strike={remark.pk}")
    assert crew.post(f"{THREAD}{remark.pk}/strike/", {"reason": "mixed up"}).status_code == 302
    html = shown(crew)
    assert "mixed up" in html
    assert "Of another boat." not in html


@pytest.mark.parametrize("reason", ["", "  ", "a" * 401])
def test_without_a_reason_nothing_is_struck(crew: Client, hull: Hull, reason: str) -> None:
    remark = an_answer(hull)
    assert crew.post(f"{THREAD}{remark.pk}/strike/", {"reason": reason}).status_code == 422
    assert crew.post(f"{THREAD}999999/strike/", {"reason": "mixed up"}).status_code == 422
    assert Remark.objects.standing().count() == 1


# --- The colour


def test_the_colour_is_asked_for_and_what_was_described_is_taken_over(crew: Client, hull: Hull) -> None:
    asked = sent(known="#33536f", name="moss green", colour="#4a5d3a", open_to_words="on")
    assert crew.post("/hulls/H-1/colour/", asked).status_code == 302
    ask = ColourAsk.objects.get()
    assert ask.offers == [["lake blue", "#33536f"], ["moss green", "#4a5d3a"]]
    assert "has not chosen yet" in shown(crew)
    choose_colour(hull_id=hull.pk, ask=ask.pk, offer=None, words="as moss after rain", guest=a_guest())
    assert "as moss after rain" in shown(crew)
    take = f"/hulls/H-1/colour/{ask.pk}/take/"
    assert crew.post(take, sent(name="moss", colour="no colour")).status_code == 422
    assert crew.post(take, sent(name="moss", colour="#4a5d3a")).status_code == 302
    hull.refresh_from_db()
    assert (hull.colour, hull.colour_name) == ("#4a5d3a", "moss")


@pytest.mark.parametrize("more", [{}, {"known": "#123456"}, {"name": "moss", "colour": "green"}])
def test_nothing_to_choose_from_is_refused_and_stays(crew: Client, hull: Hull, more: dict[str, str]) -> None:
    answer = crew.post("/hulls/H-1/colour/", sent(**more))
    assert answer.status_code == 422
    assert more.get("name", "") in answer.content.decode()
    assert not ColourAsk.objects.exists()


def test_a_question_of_the_colour_is_withdrawn(crew: Client, hull: Hull) -> None:
    ask = an_asked_colour(hull)
    for _ in range(2):
        assert crew.post(f"/hulls/H-1/colour/{ask.pk}/withdraw/").status_code == 302
    ask.refresh_from_db()
    assert ask.withdrawn_at is not None


# --- Who waits


def test_the_floor_and_the_sheet_say_whose_owner_waits(crew: Client, hull: Hull) -> None:
    a_question(hull)
    assert f'href="{THREAD}"' in shown(crew, "/")
    assert "1 question waits" in shown(crew, "/hulls/H-1/")
    an_answer(hull)
    assert f'href="{THREAD}"' not in shown(crew, "/")
    assert "question waits" not in shown(crew, "/hulls/H-1/")


def test_a_screen_on_the_wall_sees_who_waits_and_opens_nothing(hull: Hull) -> None:
    a_question(hull)
    wall = Client()
    wall.force_login(a_crew_member("wall", Role.LOOK))
    html = shown(wall, "/")
    assert "Boat owners wait for our word:" in html
    assert f'href="{THREAD}"' not in html


def test_the_list_has_those_who_wait_the_longest_first_and_chosen_colours(crew: Client, hull: Hull) -> None:
    second, third, quiet = a_hull("H-2"), a_hull("H-3"), a_hull("H-4")
    a_question(second, at=timezone.now())
    a_question(hull)
    ask = an_asked_colour(third)
    choose_colour(hull_id=third.pk, ask=ask.pk, offer=None, words="like moss", guest=a_guest())
    an_asked_colour(quiet)
    html = shown(crew, "/questions/")
    tags = [tag for tag in ("H-1", "H-2", "H-3", "H-4") if f">{tag}<" in html]
    assert tags == ["H-1", "H-2", "H-3"]
    assert html.index(">H-2<") < html.index(">H-1<")
    assert html.count("chose a colour, to be taken over") == 1


def test_where_nobody_waits_it_says_so(crew: Client, hull: Hull) -> None:
    assert "Nobody waits" in shown(crew, "/questions/")


# --- What it is not


@pytest.mark.parametrize("path", ["thread/", "thread/set-aside/", "thread/1/strike/", "colour/", "colour/1/take/"])
def test_an_unknown_hull_has_no_thread(crew: Client, path: str) -> None:
    a_shop()
    assert crew.post(f"/hulls/H-9/{path}", sent(words="x", reason="x")).status_code == 404


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_it_is_read_and_written_and_no_more(crew: Client, hull: Hull, method: str) -> None:
    assert getattr(crew, method)(THREAD).status_code == 405


# --- What it costs


@pytest.mark.parametrize("many", [1, 40])
def test_it_costs_the_same_queries_however_much_was_written(
    crew: Client, hull: Hull, many: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for n in range(many):
        an_answer(hull, f"Answer {n}")
        a_photo(hull, f"photo {n}", as_sent=True)
    shown(crew)
    with django_assert_num_queries(7):  # the session, the pulse, who it is, the hull, photos, the thread, the colour
        shown(crew)
    with django_assert_num_queries(4):  # the session, the pulse, who it is, and who waits
        shown(crew, "/questions/")

"""Boats' owners and strangers read in their own language: by their browser at first, then as they chose."""

import re
from datetime import time

import pytest
from django.test import Client
from django.utils import timezone, translation

from hulls.mail_tokens import stop_token
from hulls.models import Hull, MessageState, Owner, ProgressLink, Wish
from stages.engine.work import Work
from stages.models import HullWork
from stages.queries.estimating import basis_of
from stages.queries.work import in_work
from stages.queries.world import around
from tests.factories import a_crew_member, a_hull, a_shop
from tests.fixtures.post_office import PostOffice
from tests.stages.behind_the_link import NEVER_MADE, link_to
from tests.stages.charging import a_sent_estimate, a_shop_that_charges, a_surveyed_hull
from tests.stages.out_tray import an_owner_hears, the_letter, when_due
from tests.stages.writing import an_answer

pytestmark = pytest.mark.django_db

FRENCH = {"Accept-Language": "fr-CA,fr;q=0.9,en;q=0.5"}
BOAT = "length=16+ft&beam=34+in&depth=12+in&ends=23+in&units=metric"


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull(name="Swift")


@pytest.fixture
def page(hull: Hull) -> str:
    return link_to(hull)


@pytest.fixture
def strict() -> Client:
    return Client(enforce_csrf_checks=True)


def language_of(html: str) -> str:
    found = re.search(r'<html lang="([^"]+)"', html)
    assert found
    return found[1]


# --- The boat's page


@pytest.mark.parametrize(
    ("asks", "gets"), [("fr", "fr"), ("fr-CA,en;q=0.5", "fr"), ("en", "en"), ("de", "en"), ("", "en"), ("%%", "en")]
)
def test_at_first_the_browser_is_asked(strict: Client, page: str, asks: str, gets: str) -> None:
    html = strict.get(page, headers={"Accept-Language": asks}).content.decode()
    assert language_of(html) == gets
    assert ("Ce qu’il y a sur votre bateau" in html) == (gets == "fr")


def test_what_was_chosen_holds_against_the_browser_and_for_every_boat_of_that_owner(
    strict: Client, hull: Hull, page: str
) -> None:
    second = a_hull("H-2")
    second.owner = hull.owner
    second.save()
    answer = strict.post(page + "language/", {"language": "fr"})
    assert (answer.status_code, answer["Location"]) == (303, page)
    assert not answer.cookies
    for link in (page, link_to(second)):
        assert language_of(strict.get(link, headers={"Accept-Language": "en"}).content.decode()) == "fr"


def test_sent_twice_it_is_the_same_choice(strict: Client, page: str) -> None:
    for language in ("fr", "fr", "en", "en"):
        assert strict.post(page + "language/", {"language": language}).status_code == 303
    assert Owner.objects.get().language == "en"


@pytest.mark.parametrize("language", ["", "de", "fr\r\nX: y", "FR"])
def test_a_language_that_we_do_not_have_is_refused_and_changes_nothing(
    strict: Client, page: str, language: str
) -> None:
    answer = strict.post(page + "language/", {"language": language})
    assert answer.status_code == 422
    assert Owner.objects.get().language == ""


@pytest.mark.parametrize("method", ["get", "put", "delete"])
def test_choosing_takes_a_post_alone(strict: Client, page: str, method: str) -> None:
    assert getattr(strict, method)(page + "language/").status_code == 405


def test_an_unknown_link_chooses_nothing_and_says_so_in_the_browser_s_language(strict: Client, hull: Hull) -> None:
    assert strict.post(f"/p/{NEVER_MADE}/language/", {"language": "fr"}).status_code == 404
    assert "Rien derrière ce lien" in strict.get(f"/p/{NEVER_MADE}/", headers=FRENCH).content.decode()
    assert Owner.objects.get().language == ""


def test_numbers_days_and_names_are_written_as_the_language_does(strict: Client, hull: Hull, page: str) -> None:
    html = strict.get(page, headers=FRENCH).content.decode()
    month = {1: "janvier", 2: "février", 3: "mars", 4: "avril", 5: "mai", 6: "juin", 7: "juillet", 8: "août"}
    month |= {9: "septembre", 10: "octobre", 11: "novembre", 12: "décembre"}
    today = timezone.localdate()
    assert f"arrivé le {today.day} {month[today.month]} {today.year}" in html
    assert "4,90 m" in html
    assert "vert épicéa" in html
    assert ">Français<" in html
    assert ">English<" in html


def test_a_refused_form_speaks_it_too(strict: Client, page: str) -> None:
    refused = strict.post(page + "ask/", {"words": "", "client_id": "x"}, headers=FRENCH)
    assert "Écrivez d’abord quelque chose." in refused.content.decode()


def test_the_stop_page_speaks_as_its_owner_chose(strict: Client, hull: Hull, page: str) -> None:
    Owner.objects.update(language="fr")
    stop = f"/stop/{stop_token(ProgressLink.objects.get().pk)}/"
    assert "Plus de lettres au sujet de ce bateau" in strict.get(stop).content.decode()
    assert "Nous n’écrivons plus" in strict.post(stop).content.decode()


def test_the_crew_s_pages_stay_as_they_are(hull: Hull) -> None:
    crew = Client()
    crew.force_login(a_crew_member())
    assert language_of(crew.get("/hulls/H-1/", headers=FRENCH).content.decode()) == "en"
    assert translation.get_language() == "en"


def test_the_shop_may_say_which_language_an_owner_reads(hull: Hull) -> None:
    crew = Client()
    crew.force_login(a_crew_member())
    page = crew.get("/hulls/H-1/change/")
    form = page.context["form"]
    sent = {field.html_name: field.value() for field in form if field.value() is not None}
    assert crew.post("/hulls/H-1/change/", {**sent, "owner_language": "fr"}).status_code == 302
    assert Owner.objects.get().language == "fr"


# --- Letters and papers


def test_a_letter_is_written_as_its_reader_chose(mail_on: PostOffice) -> None:
    a_shop_that_charges(quiet_from=time(0), quiet_until=time(0), email="shop@example.org")
    hull = a_surveyed_hull()
    an_owner_hears(hull, Wish.ACT)
    Owner.objects.update(language="fr")
    an_answer(hull, "Tout va bien.")
    letter = when_due(the_letter())
    assert letter.state == MessageState.SENT
    assert letter.subject == "Coque H-1 : notre réponse"
    assert "Tout va bien." in letter.text
    assert "Le lire sur la page de votre bateau" in letter.html
    assert '<html lang="fr">' in letter.html


def test_what_is_agreed_on_is_frozen_in_the_words_that_its_owner_reads() -> None:
    shop = a_shop_that_charges()
    hull = a_surveyed_hull()
    Owner.objects.update(language="fr")
    hull.refresh_from_db()
    assert basis_of(hull, the_work_of(hull), shop).language == "fr"
    sent = a_sent_estimate(hull)
    words = {line["words"] for line in sent.body["lines"]}
    assert "Laque" in words
    assert "Enamel" not in words
    assert sent.holds


def the_work_of(hull: Hull) -> Work:
    row = HullWork.objects.select_related("hull__owner", "route").get(pk=hull.pk)
    return in_work([row], around().world)[0].work


# --- The supplies page, which anybody reads


def test_strangers_are_asked_by_their_browser_and_may_choose(client: Client) -> None:
    a_shop()
    assert "Quoi acheter" in client.get(f"/supplies/?{BOAT}", headers=FRENCH).content.decode()
    answer = client.post("/supplies/language/", {"language": "fr", "query": BOAT})
    assert (answer.status_code, answer["Location"]) == (302, f"/supplies/?{BOAT}")
    assert "Quoi acheter" in client.get(f"/supplies/?{BOAT}").content.decode()
    client.post("/supplies/language/", {"language": "de"})
    assert language_of(client.get("/supplies/").content.decode()) == "fr"
    client.post("/supplies/language/", {"language": "en"})
    assert language_of(client.get("/supplies/", headers=FRENCH).content.decode()) == "en"


@pytest.mark.parametrize("query", ["", "\r\nX: y", "//example.org", "a" * 5000])
def test_the_choice_leads_back_to_the_page_and_nowhere_else(client: Client, query: str) -> None:
    a_shop()
    answer = client.post("/supplies/language/", {"language": "fr", "query": query})
    assert answer.status_code == 302
    assert answer["Location"].startswith("/supplies/?")
    assert "X" not in answer.headers


def test_a_measure_that_no_canoe_has_is_refused_in_it(client: Client) -> None:
    a_shop()
    wrong = client.get("/supplies/?length=60+ft&beam=34+in&depth=12+in&ends=23+in", headers=FRENCH)
    assert wrong.status_code == 422
    assert "Un canot mesure entre 2,4" in wrong.content.decode()

"""The finish record's pages: a preview, what was given, what its owner reads behind the link, and the PDF."""

import io
import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pypdf
import pytest
from django.test import Client
from django.utils import timezone, translation
from pytest_django import DjangoAssertNumQueries, Settings

from hulls.models import FinishRecord, Hull
from shop.models import Role
from stages.audit import differences
from stages.engine.findings import Degrees, say
from stages.engine.sentences import packed
from stages.saying import recorded
from stages.services import bench
from stages.services.photos import change_photo
from tests.factories import a_crew_member, a_hull, a_shop, hand, product, the_shop_owner
from tests.stages.at_work import a_primed_hull
from tests.stages.away import a_boat_away, hand_over
from tests.stages.behind_the_link import NEVER_MADE, a_photo, link_to, strike

pytestmark = pytest.mark.django_db

PAGE = "/hulls/H-1/finish-record/"


@pytest.fixture
def crew(client: Client, settings: Settings, tmp_path: Path) -> Client:
    settings.MEDIA_ROOT = tmp_path
    a_shop()
    client.force_login(a_crew_member())
    return client


def text(client: Client, address: str = PAGE) -> str:
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def words_of(pdf: bytes) -> str:
    return " ".join("".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


def test_before_the_hand_over_it_is_a_preview(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=4))
    html = text(crew)
    assert "A preview" in html
    assert product("primer").name in html
    assert "4 h so far" in html
    assert "It comes in again" not in html


def test_a_hull_with_nothing_on_it_has_a_preview_too(crew: Client) -> None:
    a_hull("H-1")
    assert "No layer of ours lies on it yet" in text(crew)


def test_it_shows_what_was_given_even_if_the_shop_s_products_change(crew: Client) -> None:
    a_boat_away()
    primer = product("primer")
    old, primer.name = primer.name, "Another primer"
    primer.save()
    html = text(crew)
    assert old in html
    assert "Another primer" not in html
    assert "23.0 °C" in html
    assert "50 % humidity" in html
    assert "over the dew point" in html
    assert FinishRecord.objects.get().digest in html


def test_one_that_was_changed_behind_the_program_s_back_says_so(crew: Client) -> None:
    a_boat_away()
    FinishRecord.objects.update(digest="0" * 64)
    assert "not what was given" in text(crew)


@pytest.mark.parametrize("body", [{"hull": {"tag": "H-9"}}, []])
def test_nobody_is_given_one_that_was_changed_behind_the_program_s_back(crew: Client, body: Any) -> None:
    link = link_to(a_boat_away())
    FinishRecord.objects.update(body={**FinishRecord.objects.get().body, **body} if body else body)
    for more in ("", "pdf/", "paper/"):
        answer = Client().get(f"{link}finish-record/{more}", headers={"Accept-Language": "fr"})
        assert answer.status_code == 409, more
        assert "n’est pas ce qui a été remis" in answer.content.decode()
    assert Client().get(link).status_code == 200


def test_it_is_not_printed_by_the_crew_either(crew: Client) -> None:
    a_boat_away()
    FinishRecord.objects.update(digest="0" * 64)
    assert crew.get(f"{PAGE}pdf/").status_code == 409


def test_a_wall_screen_which_knows_no_owner_is_refused(crew: Client) -> None:
    a_boat_away()
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    assert screen.get(PAGE).status_code == 403


def test_an_unknown_hull_has_none(crew: Client) -> None:
    assert crew.get("/hulls/H-77/finish-record/").status_code == 404
    assert crew.get("/hulls/H-77/finish-record/pdf/").status_code == 404


@pytest.mark.parametrize("more", ["", "pdf/"])
def test_it_is_only_read(crew: Client, more: str) -> None:
    a_hull("H-1")
    assert crew.post(PAGE + more).status_code == 405


def test_the_pdf_says_the_same_and_carries_the_photos(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    a_photo(hull, "the keel line", size=(1200, 900))
    assert hand_over(hull, timezone.now()).done
    for paper, size in (("", (595, 842)), ("?paper=letter", (612, 792))):
        response = crew.get(f"{PAGE}pdf/{paper}")
        assert response["Content-Type"] == "application/pdf"
        read = pypdf.PdfReader(io.BytesIO(response.content))
        assert tuple(round(float(side)) for side in read.pages[0].mediabox[2:]) == size
        assert len({image.data for page in read.pages for image in page.images}) == 1
        words = words_of(response.content)
        for said in (product("primer").name, "23.0 °C", "the keel line", "Looking after this finish"):
            assert said in words


def test_a_french_owner_reads_in_french_what_was_set_aside_whoever_set_it_aside_in_english(crew: Client) -> None:
    hull = a_boat_away()
    english = text(crew)
    french = Client().get(f"{link_to(hull)}finish-record/", headers={"Accept-Language": "fr"}).content.decode()
    assert "The old finish has not been sanded." in english
    assert "L’ancienne finition n’a pas été poncée." in french
    assert "The old finish" not in french
    assert list(differences()) == []


@pytest.mark.parametrize(("language", "said"), [("en", "at least 10.0 °C"), ("fr", "au moins 10,0 °C")])
def test_what_was_set_aside_tells_its_figures_and_moments_in_full(language: str, said: str) -> None:
    read_at = datetime(2026, 1, 9, 8, 30, tzinfo=timezone.get_current_timezone())
    cold = say(
        "It is %(air)s, and %(product)s wants at least %(limit)s.",
        air=Degrees(celsius=4.5),
        product="High-build primer, alkyd",
        limit=Degrees(celsius=10),
    )
    held = {"words": "English", "said": packed(say("%(what)s Last read: %(read_at)s.", what=cold, read_at=read_at))}
    with translation.override(language):
        told = recorded(json.loads(json.dumps(held)))
    assert said in told
    assert ("High-build primer, alkyd" in told) is (language == "en")  # a product of a new shop's has its French name
    assert ("9 January 2026, 08:30" if language == "en" else "9 janvier 2026, 08:30") in told


def test_a_line_from_before_sentences_were_kept_in_parts_is_told_as_it_was_written() -> None:
    with translation.override("fr"):
        assert recorded({"words": "The old canvas is still on."}) == "The old canvas is still on."


def test_a_photo_that_is_struck_or_shared_no_more_is_gone_from_it(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    photos = [a_photo(hull, caption) for caption in ("stays", "gets struck", "gets unshared")]
    a_photo(hull, "was never shared", shared=False)
    assert hand_over(hull, timezone.now()).done
    strike(photos[1])
    change_photo(hull_id=hull.pk, photo=photos[2].pk, shared=False, hand=hand())
    html = text(crew)
    assert "stays" in html
    for gone in ("gets struck", "gets unshared", "was never shared"):
        assert gone not in html


def test_it_takes_as_many_queries_for_many_coats_and_photos_as_for_few(
    crew: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=60))
    a_photo(hull, "the first")
    text(crew)
    with django_assert_num_queries(15):
        text(crew)
    for n in range(6):
        at = timezone.now() - timedelta(hours=50 - 8 * n)
        who = hand(by=the_shop_owner(), at=at, override="one more")
        assert bench.apply_coat(
            hull_id=hull.pk, stage="prime", product=product("primer").pk, surface="skin", hand=who
        ).done
        a_photo(hull, f"coat {n}")
    text(crew)
    with django_assert_num_queries(15):
        text(crew)


# --- Behind the link


def test_its_owner_reads_it_behind_the_link_once_the_boat_is_handed_over(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=30))
    link = link_to(hull)
    stranger = Client()
    assert stranger.get(f"{link}finish-record/").status_code == 404
    assert "finish-record" not in text(stranger, link)
    assert hand_over(hull, timezone.now()).done
    assert f"{link}finish-record/" in text(stranger, link)
    response = stranger.get(f"{link}finish-record/")
    html = response.content.decode()
    assert product("primer").name in html
    assert "/hulls/" not in html
    assert response["Cache-Control"] == "private, no-store"
    assert not response.cookies
    pdf = stranger.get(f"{link}finish-record/pdf/?paper=letter")
    assert product("primer").name in words_of(pdf.content)
    assert pdf["Referrer-Policy"] == "no-referrer"


def test_a_token_that_was_never_made_opens_none(crew: Client) -> None:
    for more in ("", "pdf/"):
        assert Client().get(f"/p/{NEVER_MADE}/finish-record/{more}").status_code == 404


def test_behind_the_link_nothing_is_written(crew: Client) -> None:
    link = link_to(a_boat_away())
    assert Client().post(f"{link}finish-record/").status_code == 405


# --- The boat comes back


def form_for(client: Client, tag: str = "H-1") -> dict[str, str]:
    form = client.get(f"/hulls/new/?again={tag}").context["form"]
    shown = {name: form[name].value() for name in form.fields}
    shown["promised_on"] = ""
    return {name: value for name, value in shown.items() if value is not None}


def test_a_boat_that_comes_back_begins_as_it_left_and_opens_with_its_record(crew: Client) -> None:
    before = a_boat_away(name="Heron", wood="cedar", colour="#123456")
    sent = form_for(crew)
    assert (sent["name"], sent["wood"], sent["old_colour"], sent["owner"]) == (
        "Heron",
        "cedar",
        "#123456",
        before.owner_id,
    )
    assert crew.post("/hulls/new/?again=H-1", {**sent, "tag": "H-2"}).status_code == 302
    now = Hull.objects.get(tag="H-2")
    assert (now.before_id, now.owner_id, now.length_m) == (before.pk, before.owner_id, before.length_m)
    assert PAGE in text(crew, "/hulls/H-2/")
    assert "It is here again as H-2" in text(crew)


def test_sent_twice_it_comes_in_once(crew: Client) -> None:
    a_boat_away()
    sent = {**form_for(crew), "tag": "H-2"}
    for _time in range(2):
        assert crew.post("/hulls/new/?again=H-1", sent)["Location"] == "/hulls/H-2/"
    assert Hull.objects.count() == 2


def test_it_comes_in_again_only_once_and_what_was_typed_stays(crew: Client) -> None:
    a_boat_away()
    first, second = form_for(crew), form_for(crew)
    crew.post("/hulls/new/?again=H-1", {**first, "tag": "H-2"})
    response = crew.post("/hulls/new/?again=H-1", {**second, "tag": "H-3", "notes": "a new dent"})
    assert response.status_code == 422
    assert "came in again already" in response.content.decode()
    assert "a new dent" in response.content.decode()
    assert not Hull.objects.filter(tag="H-3").exists()


@pytest.mark.parametrize("tag", ["H-1", "H-77", "x%00y"])
def test_a_boat_that_never_left_does_not_come_back(crew: Client, tag: str) -> None:
    a_hull("H-1")
    assert crew.get(f"/hulls/new/?again={tag}").status_code == 404

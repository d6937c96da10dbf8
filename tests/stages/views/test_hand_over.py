"""The page of a hand-over: what is asked for, what stands in the way, and nothing that was filled in is lost."""

import io
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pypdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries, Settings

from hulls.models import FinishRecord, Hull, Payment, Photo
from shop.models import Role, Shop
from stages.forms.hand_over import key_of
from stages.jobs import work_photo
from stages.models import Entry, HullWork
from stages.queries.balances import balance_of
from stages.services import bench
from tests.answers import Answer
from tests.factories import a_crew_member, a_hull, a_shop, hand, the_shop_owner
from tests.photo_files import a_file
from tests.stages.at_work import a_primed_hull
from tests.stages.away import strike_last
from tests.stages.behind_the_link import NEVER_MADE, a_photo, link_to, worked
from tests.stages.billing import an_agreed_hull
from tests.stages.handing_over import SIGNED, TO, a_finished_boat, goes_home, points_of

pytestmark = pytest.mark.django_db

PAGE = "/hulls/H-1/hand-over/"
HTMX = {"HX-Request": "true"}


@pytest.fixture
def crew(client: Client, settings: Settings, tmp_path: Path) -> Client:
    settings.MEDIA_ROOT = tmp_path
    a_shop()
    client.force_login(a_crew_member("ada"))
    return client


def filled_in(hull: Hull, **changed: Any) -> dict[str, Any]:
    form = {
        "client_id": str(uuid4()),
        "care": [key_of(point) for point in points_of(hull)],
        "goods": "Two paddles\n\n  A seat pad ",
        "to": TO,
        "signature": SIGNED,
    }
    return {**form, **changed}


def send(client: Client, form: dict[str, Any], **extra: Any) -> Answer:
    return client.post(PAGE, form, **extra)


def a_jpeg(name: str = "shot.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, a_file(), "image/jpeg")


def over() -> bool:
    return HullWork.objects.get().handed_over_at is not None


def test_it_asks_for_every_point_of_this_finish_and_every_photo_of_the_shop_s(crew: Client) -> None:
    hull = a_finished_boat(photos=False, fittings="brass stem bands")
    html = crew.get(PAGE).content.decode()
    assert all(key_of(point) in html for point in points_of(hull))
    assert "Still no photo of: port side, inside, decks and gunwales." in html
    assert html.count('capture="environment"') == 4  # three sides, and the paper
    assert "brass stem bands" in html
    assert TO in html
    assert "Nothing stands in the way" in html
    assert "As it will be given" in html


def test_the_shop_says_which_photos_it_asks_for(crew: Client) -> None:
    Shop.objects.update(final_views=["bow"])
    a_finished_boat()
    html = crew.get(PAGE).content.decode()
    assert "side-bow" in html
    assert "side-port" not in html


def test_the_first_photo_of_a_side_stands_beside_the_last(crew: Client) -> None:
    hull = a_finished_boat()
    before = a_photo(hull, "as it came", view="port", stage="survey", at=timezone.now() - timedelta(days=20))
    html = crew.get(PAGE).content.decode()
    after = Photo.objects.get(view="port", stage="final")
    port = html[html.index('id="side-port"') : html.index('id="side-inside"')]
    assert port.index(f"/photos/{before.pk}/") < port.index(f"/photos/{after.pk}/")


def test_what_stands_in_the_way_is_told_before_anybody_signs(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=4))
    html = crew.get(PAGE).content.decode()
    assert "It cannot go yet" in html
    assert "What clears it:" in html
    assert "comes before “Hand-over”" in html


def test_a_boat_goes_home(crew: Client) -> None:
    hull = a_finished_boat()
    response = send(crew, filled_in(hull))
    assert (response.status_code, response["Location"]) == (303, PAGE)
    assert over()
    assert FinishRecord.objects.get().body["receipt"]["goods"] == ["Two paddles", "A seat pad"]
    html = crew.get(PAGE).content.decode()
    assert "Signature of Ada Reed" in html
    assert 'd="M100 180L180 60' in html
    assert "?do=strike&amp;number=" in html


def test_htmx_is_led_to_the_page_as_it_stands_then(crew: Client) -> None:
    response = send(crew, filled_in(a_finished_boat()), headers=HTMX)
    assert response["HX-Redirect"] == PAGE


def test_sent_twice_it_is_one_hand_over(crew: Client) -> None:
    form = filled_in(a_finished_boat())
    assert [send(crew, form).status_code for _ in range(2)] == [303, 303]
    assert Entry.objects.filter(kind="finished", stage="hand_over").count() == 1


def test_a_form_from_before_the_strike_hands_nothing_over_and_keeps_what_stands_in_it(crew: Client) -> None:
    hull = a_finished_boat()
    form = filled_in(hull)
    send(crew, form)
    assert strike_last(hull, "finished").done
    again = send(crew, form)
    html = again.content.decode()
    assert again.status_code == 422
    assert "that hand-over was struck since" in html
    assert "Two paddles" in html
    assert SIGNED in html
    assert form["client_id"] not in html
    assert not over()


def test_whoever_comes_second_reads_who_was_first(crew: Client) -> None:
    hull = a_finished_boat()
    form = filled_in(hull)
    assert goes_home(hull, by=a_crew_member("ben")).done
    response = crew.post(PAGE, form, follow=True)
    assert "had recorded this already" in response.content.decode()
    assert FinishRecord.objects.count() == 1


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"care": []}, "Talk every point through"),
        ({"to": ""}, "This field is required"),
        ({"signature": "", "goods": "Oars"}, "Let them sign here"),
        ({"signature": "10,10"}, "slip of the finger"),
        ({"care": ["0" * 12]}, "The finish changed meanwhile"),
        ({"at": "2999-01-01T10:00"}, "not come yet"),
        ({"hours": "a while"}, "a while"),
    ],
)
def test_a_refusal_keeps_what_was_filled_in_and_drawn(crew: Client, changed: dict[str, Any], words: str) -> None:
    hull = a_finished_boat()
    response = send(crew, filled_in(hull, **changed))
    html = response.content.decode()
    assert response.status_code == 422
    assert words in html
    assert "Two paddles" in html or "Oars" in html
    assert f'value="{changed.get("signature", SIGNED)}"' in html or not changed.get("signature", SIGNED)
    assert "What you filled in and the signature are still here" in html
    assert not over()


def test_a_drawing_that_is_none_is_never_shown_as_markup(crew: Client) -> None:
    evil = '"><svg onload=alert(1)>'
    html = send(crew, filled_in(a_finished_boat(), signature=evil)).content.decode()
    assert "<svg onload" not in html
    assert "did not arrive whole" in html


def test_a_name_from_right_to_left_stands_apart_from_the_words_around_it(crew: Client) -> None:
    hull = a_finished_boat()
    send(crew, filled_in(hull, to="אוריאל לוי"))
    assert "<bdi>אוריאל לוי</bdi>" in crew.get(PAGE).content.decode()


def test_the_paper_is_kept_even_where_something_else_is_wrong(crew: Client) -> None:
    hull = a_finished_boat()
    form = filled_in(hull, signature="", to="", signed_paper=a_jpeg())
    html = send(crew, form).content.decode()
    paper = Photo.objects.get(signed_paper=True)
    assert "needs not be sent again" in html
    assert f'name="paper" value="{paper.pk}"' in html
    assert "Two paddles" in html
    again = filled_in(hull, client_id=form["client_id"], signature="", paper=str(paper.pk))
    assert send(crew, again).status_code == 303
    assert over()
    assert Photo.objects.filter(signed_paper=True).count() == 1


def test_a_paper_that_is_no_photo_is_refused_beside_its_field(crew: Client) -> None:
    hull = a_finished_boat()
    svg = SimpleUploadedFile("paper.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>")
    response = send(crew, filled_in(hull, signature="", signed_paper=svg))
    assert response.status_code == 422
    assert "This file is no photo" in response.content.decode()
    assert not over()


def test_a_paper_that_turns_out_to_be_damaged_is_said_to_be(crew: Client) -> None:
    hull = a_finished_boat()
    torn = SimpleUploadedFile("paper.jpg", a_file()[:600], "image/jpeg")
    assert send(crew, filled_in(hull, signature="", signed_paper=torn)).status_code == 303
    photo = Photo.objects.get(signed_paper=True)
    with transaction.atomic():
        work_photo({"photo": photo.pk})()
    html = crew.get(PAGE).content.decode()
    assert "could not be kept. The photo is cut off" in html
    assert strike_last(hull, "finished").done
    again = send(crew, filled_in(hull, signature="", paper=str(photo.pk)))
    assert again.status_code == 422
    assert "could not be kept. Add it again." in again.content.decode()
    assert "needs not be sent again" not in again.content.decode()
    assert f'name="paper" value="{photo.pk}"' not in again.content.decode()  # signed with a finger, it goes


def test_a_damaged_paper_that_is_sent_again_is_refused_and_the_rest_stays(crew: Client) -> None:
    hull = a_finished_boat()
    torn = SimpleUploadedFile("paper.jpg", a_file()[:600], "image/jpeg")
    form = filled_in(hull, signature="", signed_paper=torn)
    assert send(crew, {**form, "to": ""}).status_code == 422
    with transaction.atomic():
        work_photo({"photo": Photo.objects.get(signed_paper=True).pk})()
    torn.seek(0)
    again = send(crew, form)
    assert again.status_code == 422
    assert "could not be kept. Add it again." in again.content.decode()
    assert "Two paddles" in again.content.decode()


def test_the_signed_paper_is_for_the_crew_and_the_record_behind_the_link_alone(crew: Client) -> None:
    hull = a_finished_boat()
    link = link_to(hull)
    send(crew, filled_in(hull, signature="", signed_paper=a_jpeg()))
    paper = worked(Photo.objects.get(signed_paper=True))
    address = f"/photos/{paper.pk}/medium/"
    assert address in crew.get("/hulls/H-1/finish-record/").content.decode()
    assert crew.get(address).status_code == 200
    assert address not in crew.get("/hulls/H-1/photos/").content.decode()
    assert crew.get(f"/hulls/H-1/photos/{paper.pk}/").status_code == 404
    wall = Client()
    wall.force_login(a_crew_member("wall", Role.LOOK))
    assert wall.get(address).status_code == 403
    owner = Client()
    assert f"/photo/{paper.pk}/" not in owner.get(link).content.decode()
    assert owner.get(f"{link}photo/{paper.pk}/medium/").status_code == 404
    assert f"{link}finish-record/paper/" in owner.get(f"{link}finish-record/").content.decode()
    assert owner.get(f"{link}finish-record/paper/")["Content-Type"] == "image/webp"
    assert owner.get(f"/p/{NEVER_MADE}/finish-record/paper/").status_code == 404
    assert strike_last(hull, "finished").done
    assert owner.get(f"{link}finish-record/paper/").status_code == 404


def test_the_owner_and_the_pdf_read_who_signed_and_see_the_signature(crew: Client) -> None:
    hull = a_finished_boat()
    link = link_to(hull)
    send(crew, filled_in(hull))
    html = Client().get(f"{link}finish-record/").content.decode()
    assert "Signature of Ada Reed" in html
    assert "talked through, point by point" in html
    assert "A seat pad" in html
    pdf = crew.get("/hulls/H-1/finish-record/pdf/").content
    words = " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())
    assert "A seat pad" in words
    assert "To Ada Reed, on" in words


def test_the_log_says_that_it_was_signed_for_and_shows_no_signature(crew: Client) -> None:
    hull = a_finished_boat()
    send(crew, filled_in(hull))
    html = crew.get("/hulls/H-1/").content.decode()
    assert "Finished “Hand-over”, signed for on the phone." in html
    assert "100,180" not in html
    assert "M100 180" not in html


def test_a_boat_that_a_carrier_takes_goes_without_a_signature_and_every_reader_is_told_why(crew: Client) -> None:
    hull = a_finished_boat()
    link, why = link_to(hull), "Noor’s van takes it; Ada wrote so on 3 May"
    form = filled_in(hull, signature="", care=[], to="Noor Vance", unsigned=why)
    assert "Nobody signs, because" in crew.get(PAGE).content.decode()
    assert why in send(crew, {**form, "to": ""}).content.decode()
    assert send(crew, form).status_code == 303
    told = f"Nobody signed, because: {why}"
    pdf = crew.get("/hulls/H-1/finish-record/pdf/").content
    words = " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())
    assert told in crew.get(PAGE).content.decode()
    assert told in Client().get(f"{link}finish-record/").content.decode()
    assert told in words
    assert f"signed for by nobody: {why}" in crew.get("/hulls/H-1/").content.decode()
    french = Client().get(f"{link}finish-record/", headers={"Accept-Language": "fr"}).content.decode()
    assert f"Personne n’a signé : {why}" in french


def test_the_sheet_leads_there_and_offers_no_way_around(crew: Client) -> None:
    a_finished_boat()
    html = crew.get("/hulls/H-1/").content.decode()
    assert f'href="{PAGE}"' in html
    assert "do-finish-hand_over" not in html


def test_a_photo_of_a_side_is_kept_at_that_side_and_shared(crew: Client) -> None:
    a_finished_boat(photos=False)
    form = {"client_id": str(uuid4()), "view": "port", "shared": "on", "shot": a_jpeg()}
    assert crew.post(f"{PAGE}photo/", form)["Location"] == PAGE
    photo = Photo.objects.get()
    assert (photo.view, photo.stage, photo.shared) == ("port", "hand_over", True)
    assert "Still no photo of: inside, decks and gunwales." in crew.get(PAGE).content.decode()
    form["shot"] = a_jpeg()
    answer = crew.post(f"{PAGE}photo/", form, headers=HTMX)
    assert answer.status_code == 200
    assert 'id="side-port"' in answer.content.decode()
    assert Photo.objects.count() == 1  # sent twice, kept once


@pytest.mark.parametrize(
    ("shot", "words"),
    [(None, "Choose a photo first"), (b"<svg/>", "This file is no photo"), (b"", "The file is empty")],
)
def test_what_is_no_photo_is_refused_at_its_side(crew: Client, shot: bytes | None, words: str) -> None:
    a_finished_boat(photos=False)
    form: dict[str, Any] = {"client_id": str(uuid4()), "view": "inside"}
    if shot is not None:
        form["shot"] = SimpleUploadedFile("shot.jpg", shot)
    response = crew.post(f"{PAGE}photo/", form)
    html = response.content.decode()
    assert response.status_code == 422
    inside = html[html.index('id="side-inside"') : html.index('id="side-decks"')]
    assert words in inside
    assert not Photo.objects.exists()


def test_the_shop_s_owner_takes_the_payment_here_and_the_boat_can_go(crew: Client) -> None:
    Shop.objects.update(hourly_rate=60)
    hull = an_agreed_hull()
    for key in HullWork.objects.get(pk=hull.pk).route.stages.exclude(key="hand_over").values_list("key", flat=True):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="not in this test", hand=hand())
    html = crew.get(PAGE).content.decode()
    assert "The balance of this boat is not paid yet" in html
    assert "s owner records payments" in html
    assert "payment-amount" not in html  # what it is, is not for every hand
    crew.force_login(the_shop_owner())
    assert "payment-amount" in crew.get(PAGE).content.decode()
    due = balance_of(hull.pk).due
    form = {"client_id": str(uuid4()), "kind": "payment", "on": str(timezone.localdate()), "how": "card"}
    refused = crew.post(f"{PAGE}payment/", {**form, "amount": "much", "reference": "from here"})
    assert refused.status_code == 422
    assert "from here" in refused.content.decode()
    done = crew.post(f"{PAGE}payment/", {**form, "amount": str(due)}, headers=HTMX)
    assert 'id="in-the-way"' in done.content.decode()
    assert "Nothing stands in the way" in done.content.decode()
    again = crew.post(f"{PAGE}payment/", {**form, "client_id": str(uuid4()), "amount": str(due)})
    assert again.status_code == 409
    assert "Nothing was recorded now" in again.content.decode()
    assert Payment.objects.count() == 1


def test_the_shop_s_owner_may_let_it_go_unpaid_with_a_reason(crew: Client) -> None:
    Shop.objects.update(hourly_rate=60)
    hull = an_agreed_hull()
    for key in HullWork.objects.get(pk=hull.pk).route.stages.exclude(key="hand_over").values_list("key", flat=True):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="not in this test", hand=hand())
    form = filled_in(hull, short="no photos in this test")
    html = send(crew, form).content.decode()
    assert "not paid yet" in html
    assert 'name="override"' not in html
    crew.force_login(the_shop_owner())
    response = send(crew, form)
    assert response.status_code == 422
    assert 'name="override"' in response.content.decode()
    assert SIGNED in response.content.decode()
    assert send(crew, {**form, "override": "a friend of the shop's"}).status_code == 303
    assert over()


@pytest.mark.parametrize("role", [Role.LOOK])
def test_a_wall_screen_is_refused(crew: Client, role: Role) -> None:
    a_finished_boat()
    crew.force_login(a_crew_member("wall", role))
    assert crew.get(PAGE).status_code == 403
    assert crew.post(PAGE).status_code == 403


def test_wrong_methods_and_unknown_hulls(crew: Client) -> None:
    a_hull("H-1")
    assert crew.put(PAGE).status_code == 405
    assert crew.get(f"{PAGE}photo/").status_code == 405
    assert crew.get("/hulls/H-9/hand-over/").status_code == 404
    assert crew.post("/hulls/H-9/hand-over/photo/").status_code == 404
    crew.force_login(the_shop_owner())
    assert crew.get(f"{PAGE}payment/").status_code == 405
    assert crew.post("/hulls/H-9/hand-over/payment/").status_code == 404


@pytest.mark.parametrize("photos", [1, 12])
def test_its_queries_are_fixed(crew: Client, photos: int, django_assert_num_queries: DjangoAssertNumQueries) -> None:
    hull = a_finished_boat()
    for n in range(photos):
        a_photo(hull, f"{n}", view="port", stage="final")
    crew.get(PAGE)
    with django_assert_num_queries(17):
        crew.get(PAGE)

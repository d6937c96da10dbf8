"""Photos of hulls: only for those who work here, never sniffed, gone at once when they are struck."""

import io
from pathlib import Path

import pytest
from django.test import Client
from PIL import Image
from pytest_django import DjangoAssertNumQueries, Settings

from hulls.models import Hull, Photo
from hulls.photo_files import photo_storage
from shop.models import Role
from stages.models import Entry
from tests.factories import a_crew_member, a_hull, a_shop
from tests.stages.behind_the_link import a_photo, make_time_lapse, strike

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client, settings: Settings, tmp_path: Path) -> Client:
    settings.MEDIA_ROOT = tmp_path
    a_shop()
    client.force_login(a_crew_member())
    return client


# --- The file of a photo


@pytest.mark.parametrize(("size", "width"), [("large", 1920), ("medium", 960), ("small", 480)])
def test_each_size_is_given_as_a_webp_that_no_browser_sniffs_and_no_proxy_keeps(
    crew: Client, size: str, width: int
) -> None:
    response = crew.get(f"/photos/{a_photo(a_hull(), 'x', size=(2000, 1500)).pk}/{size}/")
    assert (response.status_code, Image.open(io.BytesIO(response.content)).width) == (200, width)
    assert response["Content-Type"] == "image/webp"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "private, no-cache"


def test_a_browser_that_has_it_is_told_that_it_still_may(crew: Client) -> None:
    photo = a_photo(a_hull(), "x")
    first = crew.get(f"/photos/{photo.pk}/small/")
    again = crew.get(f"/photos/{photo.pk}/small/", headers={"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    strike(photo)
    assert crew.get(f"/photos/{photo.pk}/small/", headers={"If-None-Match": first["ETag"]}).status_code == 404


def test_a_wall_screen_may_see_it(crew: Client) -> None:
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    assert screen.get(f"/photos/{a_photo(a_hull(), 'x').pk}/large/").status_code == 200


def test_whoever_is_not_logged_in_does_not_see_it(crew: Client) -> None:
    photo = a_photo(a_hull(), "x")
    response = Client().get(f"/photos/{photo.pk}/large/")
    assert (response.status_code, response["Location"]) == (302, f"/login/?next=/photos/{photo.pk}/large/")


def test_its_files_have_no_address_of_their_own(crew: Client) -> None:
    photo = a_photo(a_hull(), "x", as_sent=True)
    assert photo_storage().exists(photo.sent_name)
    for name in (photo.name("large"), photo.sent_name):
        assert crew.get(f"/media/{name}").status_code == 404


def test_an_unknown_photo_size_or_file_is_not_found(crew: Client) -> None:
    photo = a_photo(a_hull(), "x")
    assert crew.get("/photos/999/large/").status_code == 404
    assert crew.get(f"/photos/{photo.pk}/huge/").status_code == 404
    photo_storage().delete(photo.name("large"))
    assert crew.get(f"/photos/{photo.pk}/large/").status_code == 404


def test_what_was_sent_is_never_shown(crew: Client) -> None:
    photo = a_photo(a_hull(), "x", as_sent=True)
    assert [crew.get(f"/photos/{photo.pk}/{size}/").status_code for size in ("small", "large")] == [404, 404]


def test_only_reading_is_answered(crew: Client) -> None:
    assert crew.post(f"/photos/{a_photo(a_hull(), 'x').pk}/large/").status_code == 405


# --- All photos of a hull


def test_the_page_shows_the_film_the_steps_and_what_is_being_worked_on(crew: Client) -> None:
    hull = a_hull()
    a_photo(hull, "the stem", stage="survey")
    a_photo(hull, "the keel", as_sent=True, shared=False)
    page = crew.get("/hulls/H-1/photos/").content.decode()
    assert all(words in page for words in ("the stem", "Survey and photos", "Being worked on", "owner sees it"))
    assert page.count("owner sees it") == 1
    assert "At no step in particular" in page
    assert 'hx-trigger="every 3s"' in page


def test_the_page_says_so_where_there_is_no_photo(crew: Client) -> None:
    a_hull()
    assert "None yet." in crew.get("/hulls/H-1/photos/").content.decode()


def test_a_time_lapse_is_there_once_it_is_made(crew: Client) -> None:
    hull = a_hull()
    for colour in ("red", "blue"):
        a_photo(hull, colour, colour=colour, shared=False)
    assert crew.get("/hulls/H-1/photos/time-lapse/").status_code == 404
    make_time_lapse(hull)
    assert "/hulls/H-1/photos/time-lapse/" in crew.get("/hulls/H-1/photos/").content.decode()
    lapse = crew.get("/hulls/H-1/photos/time-lapse/")
    assert getattr(Image.open(io.BytesIO(lapse.content)), "n_frames", 1) == 2


def test_the_page_costs_the_same_queries_for_many_photos_as_for_one(
    crew: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    a_photo(a_hull("H-1"), "one")
    many = a_hull("H-2")
    for n in range(9):
        a_photo(many, f"{n}")
    for tag in ("H-1", "H-2"):
        crew.get(f"/hulls/{tag}/photos/")
        # session, user, pulse, hull, states, coats, photos, time-lapse
        with django_assert_num_queries(8):
            crew.get(f"/hulls/{tag}/photos/")


def test_an_unknown_hull_is_not_found(crew: Client) -> None:
    assert crew.get("/hulls/H-9/photos/").status_code == 404


# --- One photo


def change(client: Client, photo: Photo, **said: str) -> int:
    page = client.get(f"/hulls/H-1/photos/{photo.pk}/")
    number = str(page.context["form"]["client_id"].value())
    address = f"/hulls/H-1/photos/{photo.pk}/change/"
    return client.post(address, {"client_id": number, **said}).status_code


def test_the_crew_say_what_it_shows_and_who_sees_it_and_the_log_tells_of_it(crew: Client) -> None:
    hull = a_hull()
    photo = a_photo(hull, "the stem", shared=False)
    assert change(crew, photo, caption="The new stem", view="bow", stage="survey", shared="on") == 302
    photo.refresh_from_db()
    assert (photo.caption, photo.view, photo.stage, photo.shared) == ("The new stem", "bow", "survey", True)
    line = Entry.objects.filter(hull=hull).latest("number")
    assert (line.kind, line.details["photo"], line.details["changed"]) == ("photo", photo.pk, True)
    assert "Photo changed, shown to the boat&#x27;s owner: The new stem" in crew.get("/hulls/H-1/").content.decode()


def test_sent_twice_or_unchanged_it_is_one_line(crew: Client) -> None:
    hull = a_hull()
    photo = a_photo(hull, "the stem")
    address, said = f"/hulls/H-1/photos/{photo.pk}/change/", {"caption": "x", "client_id": "1" * 32}
    assert [crew.post(address, said).status_code for _ in range(2)] == [302, 302]
    assert change(crew, photo, caption="x") == 302
    assert Entry.objects.filter(hull=hull, kind="photo").count() == 2


def test_what_cannot_be_comes_back_with_what_was_typed(crew: Client) -> None:
    photo = a_photo(a_hull(), "the stem")
    response = crew.post(f"/hulls/H-1/photos/{photo.pk}/change/", {"caption": "y" * 201, "client_id": "1" * 32})
    assert response.status_code == 422
    assert "y" * 201 in response.content.decode()
    photo.refresh_from_db()
    assert photo.caption == "the stem"


def test_the_line_that_changed_a_photo_is_not_struck(crew: Client) -> None:
    hull = a_hull()
    photo = a_photo(hull, "the stem")
    change(crew, photo, caption="The new stem")
    last = Entry.objects.filter(hull=hull).latest("number").number
    response = crew.post("/hulls/H-1/do/strike/", {"number": last, "reason": "no", "client_id": "2" * 32})
    assert response.status_code == 422
    assert "Change the photo once more instead." in response.content.decode()


def test_a_photo_is_struck_on_its_own_page(crew: Client) -> None:
    photo = a_photo(a_hull(), "the stem")
    strike_form = crew.get(f"/hulls/H-1/photos/{photo.pk}/").context["strike"]
    sent = {
        "number": strike_form["number"].value(),
        "client_id": strike_form["client_id"].value(),
        "reason": "of another boat",
    }
    assert crew.post("/hulls/H-1/do/strike/", sent).status_code == 303
    for address in (f"/hulls/H-1/photos/{photo.pk}/", f"/photos/{photo.pk}/large/"):
        assert crew.get(address).status_code == 404
    assert f"/photos/{photo.pk}/" not in crew.get("/hulls/H-1/photos/").content.decode()


def test_a_photo_of_another_hull_is_not_found_here(crew: Client) -> None:
    a_hull("H-1")
    photo = a_photo(a_hull("H-2"), "x")
    assert crew.get(f"/hulls/H-1/photos/{photo.pk}/").status_code == 404
    assert crew.post(f"/hulls/H-1/photos/{photo.pk}/change/", {}).status_code == 404


def test_a_wall_screen_sees_it_and_is_offered_nothing(crew: Client) -> None:
    photo = a_photo(a_hull(), "x")
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    page = screen.get(f"/hulls/H-1/photos/{photo.pk}/")
    assert page.status_code == 200
    assert "change/" not in page.content.decode()
    assert screen.post(f"/hulls/H-1/photos/{photo.pk}/change/", {}).status_code == 403


def test_only_the_page_of_change_takes_a_change(crew: Client) -> None:
    photo = a_photo(a_hull(), "x")
    assert crew.post(f"/hulls/H-1/photos/{photo.pk}/").status_code == 405
    assert crew.get(f"/hulls/H-1/photos/{photo.pk}/change/").status_code == 405
    assert crew.post("/hulls/H-1/photos/").status_code == 405
    assert Hull.objects.count() == 1

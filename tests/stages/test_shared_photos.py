"""Photos behind a boat owner's link: the shared ones of this boat, and no other."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from django.test import Client
from PIL import Image
from pytest_django import Settings

from hulls.models import Hull, Photo
from stages.models import Entry
from stages.services.links import withdraw_link
from stages.services.notes import strike_entry
from tests.answers import Answer
from tests.factories import a_hull, a_shop, hand
from tests.stages.behind_the_link import NEVER_MADE, a_photo, link_to, without_date

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path
    a_shop()


def get_photo(client: Client, link: str, photo: Photo | int, size: str = "") -> Answer:
    number = photo if isinstance(photo, int) else photo.pk
    return client.get(f"{link}photo/{number}/{size}")


def test_a_shared_photo_opens_behind_the_link_only(client: Client) -> None:
    hull = a_hull()
    photo, link = a_photo(hull, "the stem"), link_to(hull)
    assert f"{link}photo/{photo.pk}/" in client.get(link).content.decode()
    response = get_photo(client, link, photo)
    assert (response.status_code, response["Content-Type"]) == (200, "image/jpeg")
    assert Image.open(io.BytesIO(b"".join(response))).size == (40, 30)
    assert response["Referrer-Policy"] == "no-referrer"
    assert not response.cookies
    assert get_photo(client, f"/p/{NEVER_MADE}/", photo).status_code == 404


def test_the_small_copy_is_the_photo_itself_until_it_is_made(client: Client) -> None:
    hull = a_hull()
    photo, link = a_photo(hull, "the stem"), link_to(hull)
    assert get_photo(client, link, photo, "small/").status_code == 200


def nothing_shared(hull: Hull) -> Photo | int:
    return a_photo(hull, "kept inside", shared=False)


def of_another_boat(hull: Hull) -> Photo | int:
    return a_photo(a_hull("H-OTHER"), "of another boat")


def without_its_file(hull: Hull) -> Photo | int:
    photo = a_photo(hull, "lost")
    Path(photo.image.path).unlink()
    return photo


def unknown(hull: Hull) -> Photo | int:
    return 10**30


@pytest.mark.parametrize("which", [nothing_shared, of_another_boat, without_its_file, unknown])
def test_no_other_photo_opens(client: Client, which: Callable[[Hull], Photo | int]) -> None:
    hull = a_hull()
    link, photo = link_to(hull), which(hull)
    assert without_date(get_photo(client, link, photo)) == without_date(client.get(f"/p/{NEVER_MADE}/"))


def test_a_photo_closes_with_its_link(client: Client) -> None:
    hull = a_hull()
    photo, link = a_photo(hull, "the stem"), link_to(hull)
    withdraw_link(hull_id=hull.pk, hand=hand())
    assert get_photo(client, link, photo).status_code == 404


def test_a_photo_that_was_struck_closes_at_once_and_is_told_of_no_more(client: Client) -> None:
    hull = a_hull()
    kept, wrong, link = a_photo(hull, "the stem"), a_photo(hull, "somebody else's boat"), link_to(hull)
    line = Entry.objects.get(hull=hull, kind="photo", details__photo=wrong.pk)
    assert strike_entry(hull_id=hull.pk, number=line.number, reason="of another boat", hand=hand()).done
    assert [get_photo(client, link, photo).status_code for photo in (kept, wrong)] == [200, 404]
    page = client.get(link).content.decode()
    assert (f"photo/{kept.pk}/" in page, f"photo/{wrong.pk}/" in page, "somebody else" in page) == (True, False, False)

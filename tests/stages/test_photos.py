"""Photos of hulls: only for those who work here, never sniffed, kept by their own browser alone."""

import pytest
from django.core.files.base import ContentFile
from django.test import Client
from django.utils import timezone

from hulls.models import Photo
from shop.models import Role
from tests.factories import a_crew_member, a_hull, a_shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def a_photo(*, small: bool = True) -> Photo:
    photo = Photo(hull=a_hull(), taken_at=timezone.now())
    photo.image.save("x.jpg", ContentFile(b"the full one"), save=False)
    if small:
        photo.small.save("x.jpg", ContentFile(b"the small one"), save=False)
    photo.save()
    return photo


@pytest.mark.parametrize(("size", "content"), [("full", b"the full one"), ("small", b"the small one")])
def test_each_size_is_given_as_a_jpeg_that_no_browser_sniffs_and_no_proxy_keeps(
    crew: Client, size: str, content: bytes
) -> None:
    response = crew.get(f"/photos/{a_photo().pk}/{size}/")
    assert (response.status_code, response.content) == (200, content)
    assert response["Content-Type"] == "image/jpeg"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"].startswith("private, max-age=")


def test_the_full_size_stands_in_until_the_small_copy_is_made_but_is_not_kept_for_it(crew: Client) -> None:
    response = crew.get(f"/photos/{a_photo(small=False).pk}/small/")
    assert (response.content, response["Cache-Control"]) == (b"the full one", "private, no-cache")


def test_a_wall_screen_may_see_it(crew: Client) -> None:
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    assert screen.get(f"/photos/{a_photo().pk}/full/").status_code == 200


def test_whoever_is_not_logged_in_does_not_see_it(crew: Client) -> None:
    photo = a_photo()
    response = Client().get(f"/photos/{photo.pk}/full/")
    assert (response.status_code, response["Location"]) == (302, f"/login/?next=/photos/{photo.pk}/full/")


def test_its_file_has_no_address_of_its_own(crew: Client) -> None:
    assert crew.get(f"/media/{a_photo().image.name}").status_code == 404


def test_an_unknown_photo_size_or_file_is_not_found(crew: Client) -> None:
    photo = a_photo()
    assert crew.get("/photos/999/full/").status_code == 404
    assert crew.get(f"/photos/{photo.pk}/huge/").status_code == 404
    photo.image.delete(save=False)
    assert crew.get(f"/photos/{photo.pk}/full/").status_code == 404


def test_only_reading_is_answered(crew: Client) -> None:
    assert crew.post(f"/photos/{a_photo().pk}/full/").status_code == 405

"""Photos behind a boat owner's link: the shared ones of this boat, and no other."""

import io
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone
from PIL import Image
from pytest_django import Settings

from hulls.models import Hull, Photo
from hulls.photo_files import photo_storage
from hulls.photos.copies import SIDES
from stages.services.links import withdraw_link
from stages.services.photos import change_photo
from tests.answers import Answer
from tests.factories import a_hull, a_shop, hand
from tests.stages.behind_the_link import NEVER_MADE, a_photo, link_to, make_time_lapse, strike, without_date

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path
    a_shop()


def get_photo(client: Client, link: str, photo: Photo | int, size: str = "large") -> Answer:
    number = photo if isinstance(photo, int) else photo.pk
    return client.get(f"{link}photo/{number}/{size}/")


def test_a_shared_photo_opens_behind_the_link_only(client: Client) -> None:
    hull = a_hull()
    photo, link = a_photo(hull, "the stem"), link_to(hull)
    assert f"{link}photo/{photo.pk}/large/" in client.get(link).content.decode()
    response = get_photo(client, link, photo)
    assert (response.status_code, response["Content-Type"]) == (200, "image/webp")
    assert Image.open(io.BytesIO(response.content)).size == (40, 30)
    assert response["Referrer-Policy"] == "no-referrer"
    assert not response.cookies
    assert get_photo(client, f"/p/{NEVER_MADE}/", photo).status_code == 404


def test_the_page_offers_every_width_with_words_and_a_stand_in(client: Client) -> None:
    hull = a_hull()
    photo, link = a_photo(hull, "the <stem>", size=(2400, 1800)), link_to(hull)
    page = client.get(link).content.decode()
    widths = {"small": 480, "medium": 960, "large": 1920}
    srcset = ", ".join(f"{link}photo/{photo.pk}/{size}/ {width}w" for size, width in widths.items())
    assert f'srcset="{srcset}"' in page
    assert 'alt="the &lt;stem&gt;"' in page
    assert f'src="{photo.tiny}"' in page
    assert photo.tiny.startswith("data:image/webp;base64,")
    for size, width in widths.items():
        assert Image.open(io.BytesIO(get_photo(client, link, photo, size).content)).width == width


def test_a_photo_that_is_not_worked_yet_is_not_there_for_the_owner(client: Client) -> None:
    hull = a_hull()
    photo, link = a_photo(hull, "the stem", as_sent=True), link_to(hull)
    assert "the stem" not in client.get(link).content.decode()
    assert get_photo(client, link, photo).status_code == 404


def test_before_and_after_stand_side_by_side_by_the_same_view(client: Client) -> None:
    hull, now = a_hull(arrived=timezone.now() - timedelta(days=9)), timezone.now()
    for days, view in ((8, "bow"), (4, "bow"), (1, "bow"), (3, "stern")):
        a_photo(hull, f"{view} {days}", view=view, at=now - timedelta(days=days))
    pairs = client.get(link_to(hull)).content.decode().split('class="pairs"')[1].split("</ul>")[0]
    assert [f"bow {days}" in pairs for days in (8, 4, 1)] == [True, False, True]
    assert "stern" not in pairs


def test_the_time_lapse_holds_shared_photos_alone_and_goes_when_one_is_struck(client: Client) -> None:
    hull = a_hull()
    photos = [a_photo(hull, colour, colour=colour, shared=colour != "lime") for colour in ("red", "lime", "blue")]
    link = link_to(hull)
    assert client.get(f"{link}time-lapse/").status_code == 404
    make_time_lapse(hull)
    lapse = client.get(f"{link}time-lapse/")
    assert getattr(Image.open(io.BytesIO(lapse.content)), "n_frames", 1) == 2
    assert f"{link}time-lapse/" in client.get(link).content.decode()
    strike(photos[0])
    assert client.get(f"{link}time-lapse/").status_code == 404
    assert "time-lapse" not in client.get(link).content.decode()


def test_a_photo_that_is_shared_no_more_closes_at_once_and_the_time_lapse_with_it(client: Client) -> None:
    hull = a_hull()
    photos = [a_photo(hull, colour, colour=colour) for colour in ("red", "blue")]
    link = link_to(hull)
    make_time_lapse(hull)
    for caption, shared, status in (("only said anew", True, 200), ("kept inside", False, 404)):
        change_photo(hull_id=hull.pk, photo=photos[0].pk, caption=caption, shared=shared, hand=hand())
        assert get_photo(client, link, photos[0]).status_code == status
        assert client.get(f"{link}time-lapse/").status_code == status
    assert "kept inside" not in client.get(link).content.decode()


def nothing_shared(hull: Hull) -> Photo | int:
    return a_photo(hull, "kept inside", shared=False)


def of_another_boat(hull: Hull) -> Photo | int:
    return a_photo(a_hull("H-OTHER"), "of another boat")


def without_its_file(hull: Hull) -> Photo | int:
    photo = a_photo(hull, "lost")
    for size in SIDES:
        photo_storage().delete(photo.name(size))
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
    strike(wrong)
    assert [get_photo(client, link, photo).status_code for photo in (kept, wrong)] == [200, 404]
    page = client.get(link).content.decode()
    assert (f"photo/{kept.pk}/" in page, f"photo/{wrong.pk}/" in page, "somebody else" in page) == (True, False, False)

"""Photos behind the S3 protocol, against a server of it: the same as in a folder, and nobody goes past the shop."""

import io
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.conf import settings as ours
from django.test import Client
from django.utils import timezone
from PIL import Image
from pytest_django import Settings

from hulls.models import Photo, PhotoState, TimeLapse
from hulls.photo_files import photo_storage, remove
from hulls.photos.errors import LOST
from shop.jobs.run import run_job
from shop.models import Shop
from shop.storage import FOLDER
from shop.storage import photo_storage as storage_of
from stages.jobs import photos, work_photo
from tests.factories import a_crew_member, a_hull, a_shop
from tests.stages.behind_the_link import a_photo, link_to, make_time_lapse, strike

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client, settings: Settings, bucket: dict[str, Any]) -> Client:
    settings.STORAGES = {**ours.STORAGES, "photos": bucket}
    a_shop()
    client.force_login(a_crew_member())
    return client


def keys() -> set[str]:
    """Every object in the bucket."""
    bucket: Any = photo_storage()
    return {found.key for found in bucket.bucket.objects.all()}


def test_a_photo_goes_in_is_worked_shown_and_leaves(crew: Client) -> None:
    hull = a_hull()
    photo = a_photo(hull, "x", as_sent=True, size=(800, 600))
    assert keys() == {photo.sent_name}
    run_job(key=f"work_photo:{photo.pk}")
    remove([photo.sent_name])  # as on commit
    photo.refresh_from_db()
    assert photo.state == PhotoState.READY
    assert keys() == {photo.name(size) for size in ("small", "medium", "large")}
    assert Image.open(io.BytesIO(crew.get(f"/photos/{photo.pk}/small/").content)).size == (480, 360)
    strike(photo)
    assert crew.get(f"/photos/{photo.pk}/small/").status_code == 404
    with time_machine.travel(timezone.now() + timedelta(days=Shop.the_one().struck_photo_days, minutes=1)):
        photos({"day": "2031-05-05"})()
    assert keys() == set()


def test_copies_and_a_time_lapse_are_written_over_and_shown_to_the_owner(crew: Client) -> None:
    hull = a_hull()
    for colour in ("red", "blue"):
        a_photo(hull, colour, colour=colour)
    again = a_photo(hull, "lime", colour="lime", as_sent=True)
    for _ in range(2):
        work_photo({"photo": again.pk})
    assert len(keys() - {again.sent_name}) == 9 + 2  # what was sent of the two stays until its transaction ends
    make_time_lapse(hull)
    lapse = Client().get(f"{link_to(hull)}time-lapse/")
    assert getattr(Image.open(io.BytesIO(lapse.content)), "n_frames", 1) == 2
    assert TimeLapse.objects.get(hull=hull).shared in keys()


def test_an_object_that_is_gone_is_not_found_and_a_lost_one_is_refused(crew: Client) -> None:
    hull = a_hull()
    shown, waiting = a_photo(hull, "x"), a_photo(hull, "y", as_sent=True)
    remove([shown.name("large"), waiting.sent_name])
    assert crew.get(f"/photos/{shown.pk}/large/").status_code == 404
    run_job(key=f"work_photo:{waiting.pk}")
    assert Photo.objects.get(pk=waiting.pk).refusal == LOST


def test_the_pages_lead_to_the_shop_and_not_to_the_bucket(crew: Client, s3_endpoint: str) -> None:
    hull = a_hull()
    a_photo(hull, "x")
    for page in (crew.get("/hulls/H-1/photos/"), Client().get(link_to(hull))):
        assert s3_endpoint not in page.content.decode()


def test_without_a_bucket_it_is_a_folder() -> None:
    assert storage_of(bucket="", endpoint="x", region="x", key="x", secret="x") == FOLDER

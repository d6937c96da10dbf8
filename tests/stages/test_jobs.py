"""The small copy of a photo, made in the background."""

import io
from typing import Any

import pytest
from django.conf import settings
from PIL import Image

from hulls.models import Photo
from shop.jobs.registry import handler_for
from shop.jobs.run import run_job
from shop.models import Job
from stages.jobs import AuditError, audit, small_photo
from stages.models import HullWork
from stages.services.photos import add_photo
from tests.factories import a_hull, a_shop, hand

pytestmark = pytest.mark.django_db


def a_photo(width: int = 1600, height: int = 1000) -> Photo:
    a_shop()
    file = io.BytesIO()
    Image.new("RGB", (width, height), "#2f5d46").save(file, "JPEG")
    hull = a_hull()
    add_photo(hull_id=hull.pk, file=file, hand=hand())
    return Photo.objects.get(hull=hull)


def test_a_new_photo_waits_for_its_small_copy_and_gets_it() -> None:
    photo = a_photo()
    job = Job.objects.get(name="small_photo")
    assert not photo.small
    run_job(key=job.key)
    job.refresh_from_db()
    photo.refresh_from_db()
    assert job.state == Job.State.DONE, job.error
    with Image.open(photo.small) as small:
        assert (small.size, small.format) == ((640, 400), "JPEG")


def test_a_photo_that_is_small_already_is_not_blown_up() -> None:
    photo = a_photo(300, 200)
    small_photo({"photo": photo.pk})()
    photo.refresh_from_db()
    with Image.open(photo.small) as small:
        assert small.size == (300, 200)


def test_done_twice_it_leaves_one_file() -> None:
    photo = a_photo()
    names = []
    for _ in range(2):
        small_photo({"photo": photo.pk})()
        photo.refresh_from_db()
        names.append(photo.small.name)
    folder = str(photo.image.name).rsplit("/", 1)[0]
    stem = str(photo.image.name).rsplit("/", 1)[1].removesuffix(".jpg")
    assert names[0] == names[1]
    assert len([name for name in photo.image.storage.listdir(folder)[1] if name.startswith(stem)]) == 2


def test_nothing_counts_before_the_job_ends() -> None:
    photo = a_photo()
    small_photo({"photo": photo.pk})
    photo.refresh_from_db()
    assert not photo.small


def test_a_photo_that_is_gone_is_nobodys_trouble() -> None:
    photo = a_photo()
    payload = {"photo": photo.pk}
    photo.delete()
    small_photo(payload)()
    assert not Photo.objects.exists()


def test_the_audit_of_a_sound_log_ends_well() -> None:
    a_shop()
    a_hull()
    audit({"day": "2031-05-05"})()


def test_the_audit_of_a_changed_table_fails_and_names_the_difference() -> None:
    a_shop()
    hull = a_hull()
    HullWork.objects.filter(hull=hull).update(lines=7)
    with pytest.raises(AuditError, match="number of lines"):
        audit({"day": "2031-05-05"})


def test_every_daily_job_of_the_clock_has_a_handler() -> None:
    schedule: dict[str, dict[str, Any]] = settings.CELERY_BEAT_SCHEDULE
    daily = [entry["args"][0] for entry in schedule.values() if entry["task"] == "shop.jobs.daily"]
    assert daily
    for name in daily:
        assert callable(handler_for(name))

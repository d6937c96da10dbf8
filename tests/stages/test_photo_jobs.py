"""The background work on photos: copies, time-lapses made once things are quiet, and what leaves the disk at night."""

import io
import os
from datetime import timedelta
from pathlib import Path

import pytest
import time_machine
from django.utils import timezone
from PIL import Image
from pytest_django import DjangoCaptureOnCommitCallbacks, Settings

from hulls.models import Photo, PhotoState, TimeLapse
from hulls.photo_files import names_of, photo_storage, read
from hulls.photos.errors import LOST
from shop.jobs.run import run_job
from shop.models import Job, Pulse, Shop
from stages.jobs import photos, time_lapse, work_photo
from stages.services.photo_work import QUIET, photos_changed
from tests.factories import a_hull, a_shop
from tests.stages.behind_the_link import a_photo, make_time_lapse, strike

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop(settings: Settings, tmp_path: Path) -> Shop:
    settings.MEDIA_ROOT = tmp_path
    return a_shop()


def files() -> set[str]:
    """Every file in the storage of photos."""
    root = Path(photo_storage().path(""))
    return {str(path.relative_to(root)) for path in root.rglob("*") if path.is_file()}


# --- A photo


def test_a_photo_is_worked_shown_and_what_was_sent_is_removed(
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    photo, before = a_photo(a_hull(), "x", as_sent=True, size=(800, 600)), Pulse.now().beat
    with django_capture_on_commit_callbacks(execute=True):
        run_job(key=f"work_photo:{photo.pk}")
    photo.refresh_from_db()
    assert (photo.state, photo.width, photo.height) == (PhotoState.READY, 800, 600)
    assert Image.open(io.BytesIO(read(photo.name("small")))).size == (480, 360)
    assert files() == {photo.name(size) for size in ("small", "medium", "large")}
    assert Pulse.now().beat != before  # open screens ask again


def test_done_twice_it_leaves_the_same_files() -> None:
    photo = a_photo(a_hull(), "x", as_sent=True)
    effects = [work_photo({"photo": photo.pk}) for _ in range(2)]
    for effect in effects:
        effect()
    assert len(files() - {photo.sent_name}) == 3


def test_nothing_counts_before_the_job_ends() -> None:
    photo = a_photo(a_hull(), "x", as_sent=True)
    work_photo({"photo": photo.pk})
    photo.refresh_from_db()
    assert photo.state == PhotoState.WAITING


@pytest.mark.parametrize("gone", ["struck", "worked", "unknown"])
def test_a_photo_that_need_not_be_worked_is_nobodys_trouble(gone: str) -> None:
    photo = a_photo(a_hull(), "x", as_sent=gone == "struck")
    if gone == "struck":
        strike(photo)
    before = files()
    work_photo({"photo": 999 if gone == "unknown" else photo.pk})()
    assert files() == before


# --- The time-lapse


def test_of_several_changes_in_a_row_only_the_last_has_the_time_lapse_made() -> None:
    hull = a_hull()
    for colour in ("red", "lime", "blue"):
        a_photo(hull, colour, colour=colour)
    waiting = Job.objects.filter(name="time_lapse").order_by("pk")
    assert waiting.count() == 3
    assert all(job.due_at > timezone.now() + QUIET / 2 for job in waiting)
    with time_machine.travel(timezone.now() + 2 * QUIET):
        made = []
        for job in waiting:
            run_job(key=job.key)
            made.append(bool(TimeLapse.objects.get(hull=hull).whole))
    assert made == [False, False, True]
    assert len([name for name in files() if "lapse" in name]) == 2  # of all photos, and of the shared ones


def test_one_that_was_overtaken_while_it_was_made_is_not_shown(
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    hull = a_hull()
    for colour in ("red", "blue"):
        a_photo(hull, colour, colour=colour)
    effect = time_lapse({"hull": hull.pk, "wanted": TimeLapse.objects.get(hull=hull).wanted})
    photos_changed(hull.pk)
    with django_capture_on_commit_callbacks(execute=True):
        effect()
    assert TimeLapse.objects.get(hull=hull).whole == ""
    assert not any("lapse" in name for name in files())


def test_a_new_one_takes_the_place_of_the_old_one_and_its_file_goes(
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    hull = a_hull()
    for colour in ("red", "blue"):
        a_photo(hull, colour, colour=colour)
    with django_capture_on_commit_callbacks(execute=True):
        make_time_lapse(hull)
    old = TimeLapse.objects.get(hull=hull)
    a_photo(hull, "lime", colour="lime")
    assert TimeLapse.objects.get(hull=hull).whole == old.whole  # the old one stays in sight meanwhile
    with django_capture_on_commit_callbacks(execute=True):
        make_time_lapse(hull)
    new = TimeLapse.objects.get(hull=hull)
    assert {name for name in files() if "lapse" in name} == {new.whole, new.shared}
    assert old.whole not in files()


def test_one_photo_makes_no_time_lapse() -> None:
    hull = a_hull()
    a_photo(hull, "red")
    make_time_lapse(hull)
    assert TimeLapse.objects.get(hull=hull).whole == ""


# --- At night


def tonight() -> None:
    photos({"day": "2031-05-05"})()


@pytest.mark.parametrize(("days", "there"), [(29, True), (30, False), (31, False)])
def test_a_struck_photo_leaves_the_disk_after_the_shop_s_period(days: int, there: bool) -> None:
    photo = a_photo(a_hull(), "x")
    strike(photo)
    struck = timezone.now()
    assert photo.name("large") in files()
    with time_machine.travel(struck + timedelta(days=days, minutes=1), tick=False):
        tonight()
    assert bool(set(names_of(photo)) & files()) is there


def test_a_photo_that_stands_stays() -> None:
    photo = a_photo(a_hull(), "x")
    with time_machine.travel(timezone.now() + timedelta(days=4000)):
        tonight()
    assert photo.name("large") in files()


def test_the_shop_may_have_it_gone_the_same_night() -> None:
    Shop.objects.update(struck_photo_days=0)
    photo = a_photo(a_hull(), "x")
    strike(photo)
    tonight()
    assert files() == set()
    photo.refresh_from_db()
    assert (photo.state, photo.tiny) == (PhotoState.GONE, "")


def test_what_was_sent_and_came_to_nothing_is_removed_after_a_day() -> None:
    waiting = a_photo(a_hull(), "x", as_sent=True)
    for name in ("sent/old", "sent/new"):
        photo_storage().save(name, io.BytesIO(b"a place is written in here"))
    a_while_ago = (timezone.now() - timedelta(days=2)).timestamp()
    for name in ("sent/old", waiting.sent_name):
        os.utime(photo_storage().path(name), (a_while_ago, a_while_ago))
    tonight()
    assert files() == {"sent/new", waiting.sent_name}


def test_a_photo_whose_work_was_given_up_does_not_wait_for_ever() -> None:
    photo = a_photo(a_hull(), "x", as_sent=True)
    tonight()
    assert Photo.objects.get(pk=photo.pk).state == PhotoState.WAITING
    Job.objects.filter(key=f"work_photo:{photo.pk}").update(state=Job.State.FAILED)
    tonight()
    photo.refresh_from_db()
    assert (photo.state, photo.refusal) == (PhotoState.REFUSED, LOST)


def test_a_night_without_a_photo_removes_nothing() -> None:
    assert files() == set()
    tonight()
    assert files() == set()

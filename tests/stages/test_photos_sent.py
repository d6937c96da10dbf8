"""Photos as they are sent: several at once, each kept once, and one that is refused holds up no other."""

import io
import uuid
from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import Settings

from hulls.models import Photo, PhotoState
from hulls.photo_files import photo_storage
from hulls.photos.errors import CUT_OFF, LOST, NO_PHOTO, TOO_LARGE, TOO_MANY_PIXELS
from shop.jobs.run import run_job
from shop.models import Job, Shop
from stages.models import Entry
from stages.services.photos import MOST_AT_ONCE, add_photo, add_photos
from tests.answers import Answer
from tests.factories import a_crew_member, a_hull, a_shop, hand
from tests.photo_files import a_file, a_phone_s_jpeg, a_png_bomb

pytestmark = pytest.mark.django_db

SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.fixture
def crew(client: Client, settings: Settings, tmp_path: Path) -> Client:
    settings.MEDIA_ROOT = tmp_path
    a_shop()
    client.force_login(a_crew_member())
    return client


def sent(name: str, content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content, "image/jpeg")


def send(client: Client, *files: SimpleUploadedFile, number: str = "", htmx: bool = False, **fields: object) -> Answer:
    data = {"client_id": number or str(uuid.uuid4()), "images": list(files), **fields}
    headers = {"HX-Request": "true"} if htmx else {}
    return client.post("/hulls/H-1/do/photo/", data, headers=headers)


def work_all() -> None:
    for job in Job.objects.filter(name="work_photo"):
        run_job(key=job.key)


def test_several_are_kept_and_wait_for_the_background_work(crew: Client) -> None:
    hull = a_hull()
    files = [sent(f"{n}.jpg", a_phone_s_jpeg()) for n in range(3)]
    assert send(crew, *files, caption="The stem", view="bow").status_code == 303
    waiting = list(Photo.objects.filter(hull=hull, state=PhotoState.WAITING, caption="The stem", view="bow"))
    assert len(waiting) == 3
    assert all(photo_storage().exists(photo.sent_name) for photo in waiting)
    assert Job.objects.filter(name="work_photo", state=Job.State.WAITING).count() == 3


@pytest.mark.django_db(transaction=True)
def test_a_bad_batch_is_worked_to_its_end_and_each_refusal_says_why(crew: Client) -> None:
    a_hull()
    whole = a_file("JPEG")
    batch = {
        "drawing.svg": SVG,
        "bomb.png": a_png_bomb(),
        "cut.jpg": whole[: len(whole) - 200],
        "named-wrongly.jpg": a_file("PNG"),
        "polyglot.jpg": whole + SVG + b"PK\x03\x04",
        "broken.heic": b"\0\0\0\x1cftypheic\0\0\0\0mif1heic" + b"\xff" * 400,
        "good.heic": a_file("HEIF"),
    }
    response = send(crew, *(sent(name, content) for name, content in batch.items()), htmx=True)
    said = response.content.decode()
    assert response.status_code == 200
    assert "6 photos kept." in said
    assert f"drawing.svg was not kept. {NO_PHOTO}" in said
    work_all()
    found = [(photo.state, photo.refusal) for photo in Photo.objects.order_by("pk")]
    assert [state for state, _ in found] == ["refused", "refused", "ready", "ready", "refused", "ready"]
    assert [why for _, why in found][:2] == [TOO_MANY_PIXELS, CUT_OFF]
    assert not photo_storage().listdir("sent")[1]
    page = crew.get("/hulls/H-1/photos/").content.decode()
    assert TOO_MANY_PIXELS in page
    assert "Being worked on" not in page


def test_where_none_can_be_kept_the_form_comes_back_and_names_each(crew: Client) -> None:
    a_hull()
    response = send(crew, sent("a.svg", SVG), sent("b.gif", b"GIF89a"), caption="The stem", htmx=True)
    said = response.content.decode()
    assert response.status_code == 422
    assert f"a.svg was not kept. {NO_PHOTO}" in said
    assert f"b.gif was not kept. {NO_PHOTO}" in said
    assert 'value="The stem"' in said
    assert not Photo.objects.exists()


def test_sent_twice_each_is_kept_once(crew: Client) -> None:
    hull = a_hull()
    for _ in range(2):
        send(crew, *(sent(f"{n}.jpg", a_file()) for n in range(3)), number="7" * 32)
    assert Photo.objects.filter(hull=hull).count() == 3
    assert Entry.objects.filter(hull=hull, kind="photo").count() == 3
    assert len(photo_storage().listdir("sent")[1]) == 3


def test_a_hundred_at_once_are_kept_and_one_more_is_too_many(crew: Client) -> None:
    hull = a_hull()
    small = a_file("PNG")
    assert MOST_AT_ONCE == 100
    too_many = send(crew, *(sent(f"{n}.png", small) for n in range(101)), htmx=True)
    assert too_many.status_code == 422
    assert "Up to 100 photos at once." in too_many.content.decode()
    assert send(crew, *(sent(f"{n}.png", small) for n in range(100))).status_code == 303
    assert Photo.objects.filter(hull=hull).count() == 100


def test_none_at_all_is_asked_for(crew: Client) -> None:
    a_hull()
    response = send(crew, htmx=True)
    assert response.status_code == 422
    assert "Choose a photo first." in response.content.decode()


def test_a_file_that_is_too_large_is_refused_by_name_and_the_others_are_kept(
    crew: Client, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    hull = a_hull()
    monkeypatch.setattr("hulls.photos.kinds.LARGEST_BYTES", 100_000)
    settings.LARGEST_UPLOAD = 120_000
    large = a_file() + b"\0" * 300_000
    said = send(crew, sent("large.jpg", large), sent("good.jpg", a_file()), htmx=True).content.decode()
    assert f"large.jpg was not kept. {TOO_LARGE}" in said
    assert Photo.objects.filter(hull=hull).count() == 1


def test_the_camera_at_a_step_sends_the_step_and_what_the_shop_usually_does(crew: Client) -> None:
    Shop.objects.update(photos_shared=True)
    Shop.objects.get().save()
    hull = a_hull()
    page = crew.get("/hulls/H-1/").content.decode()
    form = page.split('id="do-photo-survey"')[1].split("</form>")[0]
    assert 'capture="environment"' in form
    assert "hx-trigger" in page.split('id="do-photo-survey"')[1].split(">")[0]
    assert '<input type="hidden" name="shared" value="True"' in form
    response = crew.post(
        "/hulls/H-1/do/photo/",
        {"client_id": "8" * 32, "about": "survey", "shared": "True", "shot": sent("shot.jpg", a_file())},
    )
    assert response.status_code == 303
    photo = Photo.objects.get(hull=hull)
    assert (photo.stage, photo.shared) == ("survey", True)


def test_the_form_asks_as_the_shop_usually_does(crew: Client) -> None:
    a_hull()
    assert "checked" not in field_of(crew, "shared")
    Shop.objects.update(photos_shared=True)
    Shop.objects.get().save()
    assert "checked" in field_of(crew, "shared")


def test_the_form_begins_at_the_step_in_hand_and_another_can_be_chosen(crew: Client) -> None:
    hull = a_hull()
    form = crew.get("/hulls/H-1/?do=photo").content.decode().split('id="do-photo"')[1].split("</form>")[0]
    assert '<option value="survey" selected>' in form
    assert 'type="hidden" name="stage" value="survey"' in crew.get("/hulls/H-1/").content.decode()
    send(crew, sent("x.jpg", a_file()), stage="canvas")
    assert Photo.objects.get(hull=hull).stage == "canvas"


def field_of(client: Client, name: str) -> str:
    form = client.get("/hulls/H-1/").content.decode().split('id="do-photo"')[1].split("</form>")[0]
    return form.split(f'name="{name}"')[1].split(">")[0]


def test_a_photo_whose_file_is_lost_says_so() -> None:
    a_shop()
    hull = a_hull()
    added = add_photo(hull_id=hull.pk, file=io.BytesIO(a_file()), hand=hand())
    photo = Photo.objects.get(hull=hull)
    photo_storage().delete(photo.sent_name)
    assert added.done
    work_all()
    photo.refresh_from_db()
    assert (photo.state, photo.refusal) == (PhotoState.REFUSED, LOST)


def test_a_photo_from_before_the_hull_came_leaves_no_file(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path
    a_shop()
    hull = a_hull()
    early = hand(at=datetime(2000, 1, 1, tzinfo=UTC))
    with pytest.raises(ValueError, match="before this hull arrived"):
        add_photos(hull_id=hull.pk, files=[io.BytesIO(a_file())], hand=early)
    assert not photo_storage().listdir("sent")[1]
    assert not Photo.objects.exists()

"""Crew, with a phone: one tap takes a photo at a step and sends it; it shows once it is worked, and can be struck."""

import pytest
from playwright.sync_api import Browser, FilePayload, Page, ViewportSize, expect
from pytest_django.live_server_helper import LiveServer

from hulls.models import Photo
from shop.jobs.run import run_job
from shop.models import Job
from tests.factories import a_crew_member, a_hull, a_shop
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.photo_files import a_file, a_picture

pytestmark = pytest.mark.django_db(transaction=True)


def payload(name: str, content: bytes) -> FilePayload:
    return {"name": name, "mimeType": "image/jpeg", "buffer": content}


def work_all() -> None:
    for key in Job.objects.filter(name="work_photo").values_list("key", flat=True):
        run_job(key=key)


def test_one_tap_takes_a_photo_and_it_shows_once_it_is_worked(phone_page: Page) -> None:
    a_shop()
    a_hull("H-1")
    sign_in(phone_page, a_crew_member("ada"))
    phone_page.goto("/hulls/H-1/")
    camera = phone_page.locator("#do-photo-survey")
    assert camera.locator("label").bounding_box()["height"] >= 44  # type: ignore[index]
    expect(camera.get_by_role("button", name="Keep the photo")).to_be_hidden()  # nothing more to press
    camera.locator("[type=file]").set_input_files(payload("shot.jpg", a_file(image=a_picture(1200, 900))))
    expect(phone_page.get_by_text("1 photo kept.")).to_be_visible()
    photo = Photo.objects.get()
    assert photo.stage == "survey"
    expect(phone_page.get_by_text("Being worked on")).to_be_visible()
    work_all()
    phone_page.goto("/hulls/H-1/photos/")
    shown = phone_page.locator(".film img[loading]")
    shown.scroll_into_view_if_needed()
    assert shown.evaluate("image => image.decode().then(() => image.naturalWidth)") > 100
    on_top = (
        "image => document.elementFromPoint(...(r => [r.x + 20, r.y + 20])(image.getBoundingClientRect())) === image"
    )
    assert shown.evaluate(on_top)  # the stand-in lies below
    axe(phone_page)
    phone_page.locator(".film a").click()
    axe(phone_page)
    phone_page.get_by_label("What it shows").fill("The stem")
    phone_page.get_by_role("button", name="Keep the changes").click()
    expect(phone_page.get_by_role("heading", level=1)).to_have_text("The stem")
    phone_page.get_by_text("Strike this photo").click()
    phone_page.get_by_label("Reason").fill("of another boat")
    phone_page.get_by_role("button", name="Strike it").click()
    expect(phone_page.get_by_role("heading", name="Photos", exact=True)).to_be_visible()
    assert phone_page.locator(".photo").count() == 0


def test_without_script_several_are_chosen_and_sent(chromium: Browser, live_server: LiveServer) -> None:
    a_shop()
    a_hull("H-1")
    screen: ViewportSize = {"width": 390, "height": 844}
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False, viewport=screen)
    page = context.new_page()
    sign_in(page, a_crew_member("ada"))
    page.goto("/hulls/H-1/")
    camera = page.locator("#do-photo-survey")
    camera.locator("[type=file]").set_input_files(payload("shot.jpg", a_file()))
    camera.get_by_role("button", name="Keep the photo").click()
    expect(page.get_by_text("1 photo kept.")).to_be_visible()
    page.locator("#fold-do-photo summary").first.click()
    form = page.locator("#do-photo")
    form.locator("[name=images]").set_input_files([payload("a.jpg", a_file()), payload("b.svg", b"<svg/>")])
    form.get_by_role("button", name="Keep the photos").click()
    expect(page.get_by_text("b.svg was not kept.")).to_be_visible()
    assert Photo.objects.count() == 2
    context.close()

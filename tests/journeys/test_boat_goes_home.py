"""A boat goes home: its last photos, the care talk, a signature drawn on the phone; or on paper, without script."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, FilePayload, Page, ViewportSize, expect
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from hulls.models import FinishRecord, Photo
from hulls.signature import read_signature
from tests.factories import a_crew_member, a_shop
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.photo_files import a_file
from tests.stages.behind_the_link import worked
from tests.stages.handing_over import a_finished_boat

pytestmark = pytest.mark.django_db(transaction=True)

PAGE = "/hulls/H-1/hand-over/"
INK = "canvas => canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data.some(part => part)"


@pytest.fixture(autouse=True)
def files(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path


def a_shot() -> FilePayload:
    return {"name": "shot.jpg", "mimeType": "image/jpeg", "buffer": a_file()}


def sign(page: Page) -> None:
    """Draw two strokes on the page's pad."""
    pad = page.locator("canvas")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box is not None
    for y in (0.3, 0.7):
        page.mouse.move(box["x"] + 20, box["y"] + box["height"] * y)
        page.mouse.down()
        for n in range(1, 20):
            page.mouse.move(box["x"] + 20 + n * 14, box["y"] + box["height"] * (y + 0.2 * (n % 2)))
        page.mouse.up()


@pytest.mark.parametrize("expected_console", [["status of 422"]])
def test_photographed_talked_through_and_signed_for_with_a_finger(phone_page: Page) -> None:
    a_shop()
    a_finished_boat(photos=False)
    page = phone_page
    sign_in(page, a_crew_member("ada"))
    page.goto("/hulls/H-1/")
    page.get_by_role("link", name="To the hand-over").click()
    axe(page)
    page.get_by_label("What goes with the boat").fill("Two paddles")
    sign(page)
    for view in ("port", "inside", "decks"):
        page.locator(f"#take-{view} [type=file]").set_input_files(a_shot())
        expect(page.locator(f"#side-{view}").get_by_text("Being worked on")).to_be_visible()
    expect(page.get_by_text("Every photo that the shop asks for is there.")).to_be_visible()
    for photo in Photo.objects.all():
        worked(photo)
    expect(page.locator("#side-port figure img[loading]")).to_be_visible(timeout=10_000)  # it asks again by itself
    drawn = page.locator("[name=signature]").input_value()
    assert len(read_signature(drawn).strokes) == 2
    page.get_by_role("button", name="Hand the boat over").click()
    expect(page.get_by_text("Talk every point through")).to_be_visible()
    assert page.locator("[name=signature]").input_value() == drawn  # a refusal leaves it, and shows it
    assert page.locator("canvas").evaluate(INK)
    assert page.get_by_label("What goes with the boat").input_value() == "Two paddles"
    axe(page)
    for box in page.locator("[name=care]").all():
        box.check()
    page.get_by_role("button", name="Start again").click()
    assert page.locator("[name=signature]").input_value() == ""
    assert not page.locator("canvas").evaluate(INK)
    sign(page)
    page.get_by_role("button", name="Hand the boat over").click()
    expect(page.get_by_role("img", name="Signature of Ada Reed")).to_be_visible()
    axe(page)
    receipt = FinishRecord.objects.get().body["receipt"]
    assert len(read_signature(receipt["signature"]).strokes) == 2
    assert receipt["goods"] == ["Two paddles"]
    page.goto("/")
    assert "H-1" not in page.locator("main").inner_text()  # its place is free


def test_without_script_it_is_signed_on_paper(chromium: Browser, live_server: LiveServer) -> None:
    a_shop()
    a_finished_boat()
    screen: ViewportSize = {"width": 390, "height": 844}
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False, viewport=screen)
    page = context.new_page()
    sign_in(page, a_crew_member("ada"))
    page.goto(PAGE)
    expect(page.locator("canvas")).to_be_hidden()
    for box in page.locator("[name=care]").all():
        box.check()
    page.get_by_role("button", name="Hand the boat over").click()
    expect(page.get_by_text("Let them sign here or on paper")).to_be_visible()
    page.get_by_text("Signed on paper instead").click()
    page.locator("[name=signed_paper]").set_input_files(a_shot())
    page.get_by_label("Name of whoever fetches it").fill("")
    page.get_by_role("button", name="Hand the boat over").click()
    expect(page.get_by_text("needs not be sent again")).to_be_visible()
    page.get_by_label("Name of whoever fetches it").fill("Ada Reed")
    page.get_by_role("button", name="Hand the boat over").click()
    expect(page.get_by_text("Signed on paper.")).to_be_visible()
    assert FinishRecord.objects.get().body["receipt"]["paper"] == Photo.objects.get(signed_paper=True).pk
    context.close()


def test_on_paper_the_page_has_a_box_to_sign_in_and_no_buttons(phone_page: Page) -> None:
    a_shop()
    a_finished_boat()
    sign_in(phone_page, a_crew_member("ada"))
    phone_page.goto(PAGE)
    phone_page.emulate_media(media="print")
    expect(phone_page.locator("canvas")).to_be_visible()
    expect(phone_page.get_by_text("I got the boat and what is listed above")).to_be_visible()
    assert phone_page.locator("main button:visible").count() == 0

"""A form that is sent after the log-in has ended is carried through the log-in, by a real browser."""

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import Browser, Page, ViewportSize, expect
from pytest_django.live_server_helper import LiveServer

from hulls.models import FinishRecord
from tests.factories import a_crew_member, a_hull, a_shop
from tests.fixtures.accessibility import axe
from tests.stages.handing_over import a_finished_boat, points_of

pytestmark = pytest.mark.django_db(transaction=True)

PHONE: ViewportSize = {"width": 390, "height": 844}
PASSWORD, WHY = "cedar and brass", "a carrier takes it; Ada wrote so on 3 May"


def log_in(page: Page) -> None:
    page.get_by_label("Username").fill("ada")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()


def test_a_hand_over_without_script_is_filled_in_once(chromium: Browser, live_server: LiveServer) -> None:
    a_shop()
    a_crew_member("ada")
    hull = a_finished_boat()
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False, viewport=PHONE)
    page = context.new_page()
    page.goto("/hulls/H-1/hand-over/")
    log_in(page)
    for box in page.locator("[name=care]").all():
        box.check()
    page.get_by_label("Name of whoever fetches it").fill("Noor Vance")
    page.get_by_text("Its owner is not here").click()
    page.get_by_label("Nobody signs, because").fill(WHY)
    Session.objects.all().delete()
    page.get_by_role("button", name="Hand the boat over").click()
    expect(page.get_by_text("What you filled in is kept")).to_be_visible()
    log_in(page)
    expect(page.get_by_role("heading", name="Not sent yet")).to_be_visible()
    expect(page.get_by_text(WHY)).to_be_visible()
    assert not FinishRecord.objects.exists()
    page.get_by_role("button", name="Send it now").click()
    expect(page.get_by_text(f"Nobody signed, because: {WHY}")).to_be_visible()
    receipt = FinishRecord.objects.get().body["receipt"]
    assert (receipt["to"], receipt["left"], len(receipt["care"])) == ("Noor Vance", [], len(points_of(hull)))
    context.close()


@pytest.mark.parametrize("expected_console", [["status of 401"]])
def test_the_pages_on_the_way_are_for_everybody(phone_page: Page) -> None:
    a_shop()
    a_hull("H-1")
    a_crew_member("ada")
    phone_page.goto("/hulls/H-1/?do=note")
    log_in(phone_page)
    form = phone_page.locator("form[action$='/do/note/']").first
    form.locator("[name=text]").fill("The bow is soft.\nTwo planks.")
    Session.objects.all().delete()
    form.evaluate("form => form.submit()")
    expect(phone_page.get_by_text("What you filled in is kept")).to_be_visible()
    axe(phone_page)
    log_in(phone_page)
    expect(phone_page.get_by_text("Two planks.")).to_be_visible()
    axe(phone_page)
    phone_page.get_by_role("button", name="Send it now").click()
    expect(phone_page.locator("#log + *")).to_contain_text("The bow is soft.")

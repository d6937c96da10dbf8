"""The five minutes of the README, step by step, in the demo shop."""

import re

import pytest
from playwright.sync_api import Page, expect

from stages.demo.load import LogIns
from tests.journeys.test_owner_reads_the_floor import log_in


@pytest.fixture
def expected_console() -> list[str]:
    """The refused coat is answered with 422, which the browser's console calls an error."""
    return ["status of 422"]


def test_every_step_of_the_tour_shows_what_it_says(desk_page: Page, demo_shop: LogIns) -> None:
    log_in(desk_page, demo_shop)
    expect(desk_page.get_by_text("free", exact=True).first).to_be_visible()

    desk_page.get_by_role("link", name=re.compile("H-095")).click()
    sheet = desk_page.locator("#sheet")
    expect(sheet.get_by_role("heading", name="Through the skin")).to_be_visible()
    expect(sheet.get_by_role("heading", name="Plan of work")).to_be_visible()
    expect(sheet.get_by_role("heading", name="Log", exact=True)).to_be_visible()
    expect(sheet).to_contain_text("not dry enough to be sanded")

    sheet.get_by_text("Record a coat").first.click()
    coat = sheet.locator("#do-coat-fill_oil")
    enamel = coat.locator("[name=product] option", has_text="enamel").first
    coat.locator("[name=product]").select_option(enamel.get_attribute("value"))
    coat.locator("details > summary").click()
    coat.locator("[name=lot]").fill("pot 12")
    coat.locator("button[type=submit]").click()
    expect(coat).to_contain_text("does not ask for")
    expect(coat).to_contain_text("Choose a product of the kind")
    expect(coat.locator("[name=lot]")).to_have_value("pot 12")
    expect(coat.get_by_label("Go ahead all the same, because")).to_be_visible()

    desk_page.get_by_role("link", name="What’s next").click()
    expect(desk_page.get_by_role("heading", name="Canvas rig")).to_be_visible()
    desk_page.get_by_role("link", name="Rule book").click()
    expect(desk_page.get_by_role("heading", name="Sand between")).to_be_visible()

    desk_page.goto("/supplies/")
    for label, typed in (
        ("Length over all", "16 ft"),
        ("Beam", "34 1/2 in"),
        ("Depth amidships", "12 1/2 in"),
        ("Height of the ends", "24 in"),
    ):
        desk_page.get_by_role("textbox", name=label).fill(typed)
    desk_page.get_by_role("button", name="Show what it needs").click()
    for heading in ("What to buy", "The order of work", "What can hurt you"):
        expect(desk_page.get_by_role("heading", name=heading)).to_be_visible()
    expect(desk_page.get_by_role("button", name="Send it to the shop")).to_be_visible()

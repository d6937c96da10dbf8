"""Somebody who does their own boat, with a phone: makes the list, shares it, keeps it as PDF, and writes to the shop.

With scripts and without: the page has none of its own.
"""

from collections.abc import Iterator
from io import BytesIO

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader
from pytest_django.live_server_helper import LiveServer

from hulls.models import Enquiry, Hull
from shop.models import CrewMember
from shop.page_token import LEAST_AGE_S
from stages.demo.load import LogIns
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import PHONE, sign_in, watched_page

pytestmark = pytest.mark.usefixtures("pango")


@pytest.fixture
def expected_console() -> list[str]:
    """A measure that cannot be is answered with 422, which the browser's console calls an error."""
    return ["status of 422"]


@pytest.fixture
def scriptless_page(chromium: Browser, live_server: LiveServer, expected_console: list[str]) -> Iterator[Page]:
    """A phone whose owner has switched scripts off."""
    screen = PHONE | {"java_script_enabled": False}
    yield from watched_page(chromium, live_server, expected_console, screen)


def test_a_list_is_made_shared_kept_and_sent_and_becomes_a_hull(phone_page: Page, demo_shop: LogIns) -> None:
    go_through(phone_page)
    axe(phone_page)
    enquiry = Enquiry.objects.get()
    sign_in(phone_page, CrewMember.objects.get(username="owner"))
    phone_page.goto("/enquiries/")
    expect(phone_page.get_by_role("heading", name="Zoë Ågren")).to_be_visible()
    axe(phone_page)
    phone_page.get_by_role("link", name="Take the hull in Zoë Ågren").click()
    expect(phone_page.get_by_label("Owner's name")).to_have_value("Zoë Ågren")
    axe(phone_page)
    phone_page.get_by_role("button", name="Take it in").click()
    expect(phone_page.locator("#messages")).to_contain_text("is taken in")
    assert Hull.objects.get(enquiry=enquiry).owner.email == "zoe@example.org"


def test_all_of_it_works_without_scripts(scriptless_page: Page, demo_shop: LogIns) -> None:
    go_through(scriptless_page)
    assert Enquiry.objects.get().name == "Zoë Ågren"


def go_through(page: Page) -> None:
    """From the log-in page's foot to the letter."""
    page.goto("/login/")
    page.get_by_role("link", name="Do you restore your own canoe?").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("What your boat needs")
    for label, typed in (("Length over all", "16' 2 1/2\""), ("Beam", "3 m"), ("Depth amidships", "12½ in")):
        page.get_by_role("textbox", name=label).fill(typed)
    page.get_by_role("textbox", name="Height of the ends").fill("61 cm")
    page.get_by_label("Ribs").fill("4")
    page.get_by_label("Temperature").fill("12 C")
    page.get_by_role("button", name="Show what it needs").click()

    wrong = page.locator(".field--wrong")
    expect(wrong).to_have_count(1)
    expect(wrong).to_contain_text("A canoe is between")
    expect(page.get_by_role("textbox", name="Length over all")).to_have_value("16' 2 1/2\"")
    wrong.locator("input").fill("34 1/2 in")
    page.get_by_role("button", name="Show what it needs").click()

    expect(page.get_by_role("heading", name="What to buy")).to_be_visible()
    expect(page.get_by_role("heading", name="Ribs × 4")).to_be_visible()
    expect(page.get_by_text("steady air of 12.0 °C")).to_be_visible()
    assert page.locator("#list").bounding_box()
    share_and_keep(page)
    write(page)


def share_and_keep(page: Page) -> None:
    """The link opens the same list, and the PDF is a PDF of it."""
    link = page.locator("#link").input_value()
    assert page.url.partition("#")[0] == link
    shown = page.locator("#list").inner_text()
    page.goto(link)
    assert page.locator("#list").inner_text() == shown
    address = page.get_by_role("link", name="PDF, US Letter").get_attribute("href")
    assert address
    made = page.context.request.get(address).body()
    assert "Latex canvas filler" in " ".join(sheet.extract_text() for sheet in PdfReader(BytesIO(made)).pages)


def write(page: Page) -> None:
    """A letter: refused without an e-mail, then sent."""
    expect(page.get_by_label("Leave this empty")).not_to_be_in_viewport()
    page.get_by_label("Your name").fill("Zoë Ågren")
    page.get_by_label("What you would like to ask").fill("Could you do the canvas alone?")
    page.wait_for_timeout(LEAST_AGE_S * 1000 + 500)  # a page's token is good after that
    page.get_by_role("button", name="Send it to the shop").click()
    expect(page.locator(".field--wrong")).to_have_count(1)
    expect(page.get_by_label("Your name")).to_have_value("Zoë Ågren")
    page.get_by_label("Your e-mail").fill("zoe@example.org")
    page.get_by_role("button", name="Send it to the shop").click()
    expect(page.get_by_role("heading", name="The shop has it")).to_be_visible()

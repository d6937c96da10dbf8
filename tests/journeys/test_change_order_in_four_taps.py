"""From a find at the bench to the owner's yes: four taps on the crew's phone, and one click behind the link."""

from collections.abc import Iterator

import pytest
from django.utils import timezone
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from hulls.models import Estimate, Hull
from shop.models import Shop
from stages.audit import differences
from stages.models import Entry
from stages.services.links import renew_link
from tests.factories import a_crew_member, hand
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in, watched_page
from tests.stages.charging import a_sent_estimate, a_shop_that_charges, a_surveyed_hull, answered

pytestmark = pytest.mark.django_db(transaction=True)

COUNT_TAPS = """addEventListener('pointerdown', () => {
    sessionStorage.taps = Number(sessionStorage.taps || 0) + 1
}, true)"""


@pytest.fixture
def expected_console() -> list[str]:
    """An answer without a name is refused with 422, which the browser's console calls an error."""
    return ["status of 422"]


@pytest.fixture
def shop() -> Shop:
    return a_shop_that_charges()


@pytest.fixture
def hull(shop: Shop) -> Hull:
    """A boat whose estimate is approved, on its way to the bench."""
    hull = a_surveyed_hull("H-104", ribs=4, planks=2)
    answered(a_sent_estimate(hull))
    return hull


@pytest.fixture
def owner_page(chromium: Browser, live_server: LiveServer, expected_console: list[str]) -> Iterator[Page]:
    """The owner's browser, with JavaScript off."""
    yield from watched_page(chromium, live_server, expected_console, {"java_script_enabled": False})


def taps(page: Page) -> int:
    return int(page.evaluate("Number(sessionStorage.taps || 0)"))


def test_four_taps_and_one_click(phone_page: Page, owner_page: Page, hull: Hull) -> None:
    token = renew_link(hull_id=hull.pk, hand=hand())
    sign_in(phone_page, a_crew_member("ada"))
    phone_page.add_init_script(COUNT_TAPS)
    phone_page.goto("/hulls/H-104/")
    before = taps(phone_page)

    phone_page.locator("#fold-do-find > summary").tap()
    phone_page.locator("#do-find").get_by_text("ribs", exact=True).tap()
    phone_page.locator("#do-find button").first.tap()
    expect(phone_page.get_by_role("heading", level=1)).to_contain_text("Change order")
    axe(phone_page)
    assert phone_page.locator("#change-words").input_value() == "1 rib"
    assert phone_page.locator("#change-hours").input_value() == "1.5"
    expect(phone_page.get_by_label("Ribs")).to_be_checked()
    phone_page.get_by_role("button", name="Send it to the boat's owner").tap()
    expect(phone_page.locator("#messages")).to_contain_text("C-1 is with the boat's owner")
    assert taps(phone_page) - before == 4
    expect(phone_page.get_by_text("waits for the owner's answer")).to_be_visible()

    owner_page.goto(f"/p/{token}/")
    expect(owner_page.locator("#ask-C-1")).to_contain_text("108.00")  # 1.5 h at 60, and a fifth of tax
    owner_page.get_by_role("button", name="Yes, go ahead").click()
    expect(owner_page.locator("main")).to_contain_text("Change order C-1")
    order = Estimate.objects.get(label="C-1")
    assert (order.answer, order.answered_by) == ("approved", hull.owner.name)
    assert Entry.objects.filter(hull=hull, kind="estimate").latest("number").details["digest"] == order.digest
    assert list(differences()) == []
    phone_page.reload()
    expect(phone_page.get_by_text(f"approved by {hull.owner.name}").first).to_be_visible()


def test_an_owner_approves_an_estimate_without_script_and_reads_what_every_figure_came_from(
    owner_page: Page, phone_page: Page, shop: Shop
) -> None:
    hull = a_surveyed_hull("H-105", ribs=4)
    sent = a_sent_estimate(hull)
    token = renew_link(hull_id=hull.pk, hand=hand())
    phone_page.goto(f"/p/{token}/")
    axe(phone_page)
    lines = phone_page.locator(".estimate__lines summary")
    assert lines.count() == len(sent.sums.lines)
    lines.filter(has_text="Ribs").click()
    expect(phone_page.get_by_text("4 × 1.5 h")).to_be_visible()

    owner_page.goto(f"/p/{token}/")
    owner_page.get_by_role("button", name="Yes, go ahead").click()
    expect(owner_page.get_by_text("Write your name")).to_be_visible()
    owner_page.get_by_label("Your name").fill("Ada Reed")
    owner_page.get_by_role("button", name="Yes, go ahead").click()
    expect(owner_page.locator("#agreed")).to_be_visible()
    held = Estimate.objects.get(pk=sent.pk)
    assert (held.answer, held.answered_by) == ("approved", "Ada Reed")
    assert held.answered_at is not None
    assert held.answered_at <= timezone.now()

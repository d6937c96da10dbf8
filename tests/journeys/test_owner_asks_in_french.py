"""A boat's owner asks in French, the shop answers from the hull, and the owner reads it: on a phone, at a desk."""

from playwright.sync_api import Browser, Page, ViewportSize, expect
from pytest_django.live_server_helper import LiveServer

from hulls.models import Hull, Message, MessageKind
from shop.models import CrewMember
from stages.demo.load import LINKED, LogIns
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in

ASKED, ANSWERED = "Puis-je venir samedi ?", "Oui, samedi à dix heures."


def test_an_owner_asks_the_shop_answers_and_the_owner_reads_it_in_french(
    chromium: Browser, live_server: LiveServer, desk_page: Page, demo_shop: LogIns
) -> None:
    narrow: ViewportSize = {"width": 390, "height": 844}
    phone = chromium.new_context(viewport=narrow, base_url=live_server.url, java_script_enabled=False, locale="en")
    owner = phone.new_page()
    owner.goto(demo_shop.link)
    owner.get_by_role("button", name="Français").click()
    expect(owner.get_by_role("heading", name="Questions et réponses")).to_be_visible()
    owner.get_by_label("Demandez-nous ou dites-nous quelque chose").fill(ASKED)
    owner.get_by_role("button", name="Envoyer à l’atelier").click()
    expect(owner.locator(".thread").get_by_text(ASKED)).to_be_visible()

    sign_in(desk_page, CrewMember.objects.get(username="crew"))
    desk_page.goto("/")
    desk_page.locator(".floor__waiting").get_by_role("link", name=LINKED).click()
    expect(desk_page.locator(".thread").get_by_text(ASKED)).to_be_visible()
    axe(desk_page)
    desk_page.get_by_label("Write to the boat's owner").fill(ANSWERED)
    desk_page.get_by_role("button", name="Send it").click()
    expect(desk_page.locator(".thread").get_by_text(ANSWERED)).to_be_visible()
    desk_page.goto("/")
    expect(desk_page.locator(".floor__waiting")).to_have_count(0)

    owner.goto(demo_shop.link)
    expect(owner.locator(".thread").get_by_text(ANSWERED)).to_be_visible()
    assert owner.locator("html").get_attribute("lang") == "fr"
    assert owner.evaluate("document.documentElement.scrollWidth <= innerWidth")
    hull = Hull.objects.get(tag=LINKED)
    assert Message.objects.filter(hull=hull, kind=MessageKind.WORDS).exists()
    phone.close()

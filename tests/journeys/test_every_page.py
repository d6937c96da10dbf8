"""Every page, at phone and desk width: axe finds nothing, nothing overflows, and it is light."""

import re

from django.utils import timezone
from playwright.sync_api import Page

from hulls.mail_tokens import mail_token, stop_token
from hulls.models import Hull, ProgressLink
from shop.models import CrewMember
from stages.demo.load import LogIns
from stages.services.links import renew_link
from tests.factories import hand
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in

HEAVIEST_KB = 150
SHEET, SHEET_KB = re.compile(r"/hulls/H-\d+/"), 128  # of a hull: it is loaded most, and has to have room to grow
WEIGH = """() => Object.fromEntries(
    [...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')]
        .filter(entry => entry.initiatorType !== 'img')
        .map(entry => [entry.name, entry.decodedBodySize])
)"""
BOAT = "length=16+ft&beam=34+in&depth=12+in&ends=23+in&ribs=3&units=us"
IN_THE_SHOP = (
    "/",
    "/next/",
    "/plan/",
    "/plan/?zoom=month&boat=H-104",
    "/hulls/",
    "/hulls/?show=handed-over",
    "/hulls/new/",
    "/hulls/H-104/",
    "/hulls/H-109/",
    "/hulls/H-115/",
    "/hulls/H-120/",
    "/hulls/H-109/photos/",
    "/hulls/H-104/change/",
    "/hulls/H-104/lines/",
    "/hulls/H-104/supplies/",
    "/hulls/H-109/finish-record/",
    "/hulls/H-091/finish-record/",
    "/hulls/H-091/hand-over/",
    "/hulls/H-092/hand-over/",
    "/tags/",
    "/hulls/import/",
    "/hulls/H-120/estimate/",
    "/hulls/H-109/change-order/",
    "/estimates/",
    "/air/",
    "/sensors/",
    "/readings/import/",
    "/stores/",
    "/stores/buy/",
    "/rules/",
    "/enquiries/",
    "/books/",
    "/plan/kept/",
    "/hulls/H-091/bill/",
    "/hulls/H-092/bill/",
    "/hulls/H-104/bill/invoice/",
    "/questions/",
    "/hulls/H-097/thread/",
    "/hulls/H-112/thread/",
    "/letters/",
    "/letters/?shelf=unsent",
    "/hours/",
    "/calendars/",
    "/me/",
    "/waiting/",
    "/offline/",
)


def test_every_page_is_light_and_open_to_all_at_phone_width(phone_page: Page, demo_shop: LogIns) -> None:
    check_every_page(phone_page, demo_shop)


def test_every_page_is_light_and_open_to_all_at_desk_width(desk_page: Page, demo_shop: LogIns) -> None:
    check_every_page(desk_page, demo_shop)


def check_every_page(page: Page, demo: LogIns) -> None:
    """Open the pages that need no log-in, then all others as the shop's owner, who sees the most of them."""
    link = ProgressLink.objects.create(hull=Hull.objects.get(tag="H-091"), token_hash="", made_at=timezone.now())
    given = f"/p/{mail_token(link.pk)}/finish-record/"
    asked = f"/p/{renew_link(hull_id=Hull.objects.get(tag='H-112').pk, hand=hand())}/"  # a colour, in French
    for address in ("/login/", demo.link, given, asked, "/supplies/", f"/supplies/?{BOAT}"):
        check_page(page, address)
    sign_in(page, CrewMember.objects.get(username="owner"))
    for address in IN_THE_SHOP:
        check_page(page, address)
    check_page(page, f"/hours/{CrewMember.objects.get(username='ines').pk}/")
    check_page(page, a_link(page, "/hulls/H-119/", "/estimates/"))
    labels = a_link(page, "/hulls/H-109/", "/tags/")
    for address in (labels, a_link(page, labels, "/tags/print/")):
        check_page(page, address)
    coat = a_link(page, "/hulls/H-104/", "/coats/")
    check_page(page, a_link(page, "/hulls/H-091/bill/", "/bill/invoices/"))
    check_page(page, a_link(page, "/hulls/H-091/bill/", "/strike/"))
    product = a_link(page, coat, "/products/")
    check_page(page, a_link(page, "/sensors/", "/sensors/"))
    letter = a_link(page, "/letters/", "/letters/")
    for address in (letter, f"/stop/{stop_token(ProgressLink.objects.latest('pk').pk)}/"):
        check_page(page, address)
    check_page(page, a_link(page, "/stores/", "/stores/lots/"))
    for address in (coat, f"{coat}?room=25", product, a_link(page, "/air/", "/air/")):
        check_page(page, address)


def a_link(page: Page, address: str, leads_to: str) -> str:
    """Where the last link of a page leads that leads to a page of that kind."""
    page.goto(address)
    found = page.locator(f'main a[href*="{leads_to}"]').last.get_attribute("href")
    assert found
    return found


def check_page(page: Page, address: str) -> None:
    """Open one page and weigh it, photos aside, every byte as it is before any compression."""
    answer = page.goto(address)
    page.wait_for_load_state("networkidle")
    assert answer is not None
    assert answer.status == 200, address
    weighed: dict[str, int] = page.evaluate(WEIGH)
    heaviest_kb = SHEET_KB if SHEET.fullmatch(address) else HEAVIEST_KB
    assert sum(weighed.values()) < heaviest_kb * 1000, (address, weighed)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{address} overflows"
    axe(page)

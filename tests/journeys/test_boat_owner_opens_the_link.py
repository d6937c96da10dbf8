"""A boat's owner, with the link from an e-mail: sees that boat, and nothing of the rest of the shop."""

from playwright.sync_api import Page, expect

from hulls.models import Hull
from shop.models import CrewMember
from stages.demo.load import LINKED, LogIns
from stages.services.links import withdraw_link
from tests.factories import hand
from tests.fixtures.accessibility import axe


def test_the_link_shows_that_boat_and_nothing_else_until_it_is_withdrawn(
    phone_page: Page, demo_shop: LogIns, expected_console: list[str]
) -> None:
    expected_console.append("status of 404")
    hull = Hull.objects.get(tag=LINKED)
    answer = phone_page.goto(demo_shop.link)
    assert answer is not None
    assert answer.status == 200
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert "noindex" in answer.headers["x-robots-tag"]
    expect(phone_page.get_by_role("heading", level=1)).to_contain_text(hull.name)
    expect(phone_page.get_by_role("heading", name="What is on your boat")).to_be_visible()
    expect(phone_page.locator("figure.section").get_by_text("Canvas")).to_be_visible()
    axe(phone_page)
    text = phone_page.content()
    others = Hull.objects.exclude(pk=hull.pk).select_related("owner")
    foreign = [word for other in others for word in (other.tag, other.name, other.owner.name)]
    crew = [name for person in CrewMember.objects.all() for name in (person.username, person.last_name) if name]
    shown = [word for word in [*foreign, *crew] if f">{word}<" in text or f" {word} " in text]
    assert shown == []
    photos = phone_page.locator("img")
    photos.first.scroll_into_view_if_needed()
    assert photos.first.evaluate("image => image.decode().then(() => image.naturalWidth)") > 0

    withdraw_link(hull_id=hull.pk, hand=hand(CrewMember.objects.get(username="owner")))
    withdrawn = phone_page.goto(demo_shop.link)
    assert withdrawn is not None
    said = phone_page.locator("main").inner_text()
    wrong = phone_page.goto("/p/never-made/")
    assert wrong is not None
    assert withdrawn.status == wrong.status == 404
    assert phone_page.locator("main").inner_text() == said

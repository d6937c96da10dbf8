"""The shop's owner, at a laptop: reads the floor, sees it follow the work, and goes to a hull."""

import re

from playwright.sync_api import Page, expect

from shop.models import CrewMember
from stages.demo.load import LogIns
from stages.models import HullWork
from stages.services import notes
from tests.factories import hand
from tests.fixtures.accessibility import axe


def test_the_floor_shows_every_hull_and_free_place_and_follows_the_work(desk_page: Page, demo_shop: LogIns) -> None:
    log_in(desk_page, demo_shop)
    expect(desk_page.get_by_role("heading", level=1)).to_have_text("The floor")
    for work in HullWork.objects.filter(station__isnull=False).select_related("hull"):
        expect(desk_page.get_by_role("link", name=re.compile(rf"^{work.hull.tag}, "))).to_be_visible()
    axe(desk_page)

    moved = HullWork.objects.get(hull__tag="H-119")
    before = free_places(desk_page, "Trim bench")
    owner = CrewMember.objects.get(username="owner")
    to = {"station": trim_bench()}
    assert notes.move_hull(hull_id=moved.pk, hand=hand(owner), **to).done
    expect(station(desk_page, "Trim bench").get_by_role("link", name=re.compile("H-119"))).to_be_visible(timeout=15_000)
    assert free_places(desk_page, "Trim bench") == before - 1

    station(desk_page, "Trim bench").get_by_role("link", name=re.compile("H-119")).click()
    expect(desk_page.get_by_role("heading", level=1)).to_contain_text("H-119")


def log_in(page: Page, demo: LogIns) -> None:
    """Log in as the shop's owner by the log-in page, as the demo prints it."""
    username, password, _role = demo.people[0]
    page.goto("/")
    page.get_by_label("Username").fill(username)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Log in").click()


def station(page: Page, name: str):  # type: ignore[no-untyped-def]
    """A station's row of the floor."""
    return page.get_by_role("listitem").filter(has=page.get_by_role("heading", name=name)).first


def free_places(page: Page, name: str) -> int:
    """How many places of a station the floor draws as free."""
    count: int = station(page, name).get_by_text("free", exact=True).count()
    return count


def trim_bench() -> int:
    """The trim bench's number."""
    from shop.models import Station

    return Station.objects.get(kind="trim").pk

"""The plan on a phone: the chance of a promise is seen at once, and every boat's link has room for a finger."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from stages.queries.world import around
from stages.services.planning import keep
from stages.services.replanning import plan_of
from tests.factories import a_hull, a_shop, the_shop_owner
from tests.fixtures.browser import sign_in

pytestmark = pytest.mark.django_db(transaction=True)
A_FINGER_PX = 44


def test_the_chance_is_in_sight_and_links_are_as_large_as_a_finger(phone_page: Page) -> None:
    a_shop()
    a_hull("H-7", promised_on=timezone.localdate() + timedelta(days=2))
    keep(plan_of(around(), now=timezone.now(), seconds=0))
    sign_in(phone_page, the_shop_owner())
    phone_page.goto("/plan/")
    table = phone_page.get_by_role("region", name="Every boat’s days")
    table.scroll_into_view_if_needed()
    expect(table.get_by_role("cell", name="0 %", exact=True)).to_be_in_viewport(ratio=1)
    links = phone_page.locator(".plan__rest a")
    assert links.count() == 2  # in the list of what is late, and in the table
    for link in links.all():
        box = link.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= A_FINGER_PX

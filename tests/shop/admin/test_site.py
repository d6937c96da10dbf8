"""The settings pages in a browser, under the shop's own rules for scripts and styles."""

from typing import Any

import pytest
from playwright.sync_api import Page

from shop.models import CrewMember, Product
from stages.models import Route
from stages.services.arrival import next_version
from tests.factories import a_shop, the_shop_owner
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.settings_pages import address


@pytest.mark.django_db(transaction=True)
def test_the_settings_pages_run_under_the_strict_policy(desk_page: Page, live_server: Any) -> None:
    a_shop()
    draft = next_version(route=Route.objects.get())
    sign_in(desk_page, the_shop_owner())
    pages = [address(Route, "change", draft.pk), address(CrewMember, "add"), address(Product, "changelist"), "/admin/"]
    for path in pages:
        desk_page.goto(path)
        axe(desk_page)
    desk_page.goto(address(Product, "changelist"))
    desk_page.locator("#action-toggle").check()
    assert desk_page.locator("tr.selected").count() == Product.objects.count()

"""The watch over the browser's pages sees what it is there to see."""

import pytest
from playwright.sync_api import Browser, Page

from shop.models import CrewMember
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import Watch, sign_in


def test_axe_is_not_asked_about_a_page_without_its_style_sheets(desk_page: Page, expected_console: list[str]) -> None:
    expected_console.append("status of 404")  # a page without a head has no icon either
    desk_page.goto("/healthz")
    with pytest.raises(AssertionError, match="not dressed"):
        axe(desk_page)


def test_axe_finds_what_is_wrong_with_a_dressed_page(desk_page: Page, expected_console: list[str]) -> None:
    expected_console.append("status of 404")  # the admin has no icon
    desk_page.goto("/admin/login/")
    desk_page.evaluate("document.querySelector('label').remove()")
    with pytest.raises(AssertionError, match="label: "):
        axe(desk_page)


def test_a_signed_in_page_is_its_users(desk_page: Page, expected_console: list[str]) -> None:
    expected_console.append("status of 404")
    sign_in(desk_page, CrewMember.objects.create_superuser("maren"))
    desk_page.goto("/admin/")
    assert "maren" in desk_page.locator("#user-tools").inner_text().lower()


@pytest.mark.parametrize(
    ("misdeed", "found"),
    [
        ("console.error('the pot is empty')", "the pot is empty"),
        ("setTimeout(() => { throw new Error('no brush') })", "no brush"),
        ("fetch('http://localhost:1/paint').catch(() => 0)", "another host: http://localhost:1/paint"),
    ],
)
def test_the_watch_sees_errors_and_requests_to_other_hosts(chromium: Browser, misdeed: str, found: str) -> None:
    page = chromium.new_page()
    watch = Watch(host="127.0.0.1:1", expected=[])
    watch.attach(page)
    page.evaluate(misdeed)
    page.wait_for_timeout(200)
    page.close()
    assert any(found in line for line in watch.found), watch.found


def test_the_watch_lets_pass_what_a_test_expects(chromium: Browser) -> None:
    page = chromium.new_page()
    watch = Watch(host="127.0.0.1:1", expected=["status of 422"])
    watch.attach(page)
    page.evaluate("console.error('the server responded with a status of 422')")
    page.wait_for_timeout(200)
    page.close()
    assert watch.found == []

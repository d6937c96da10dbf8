"""A sheet in somebody's hand: it waits while a form is in use, keeps folds open, and refuses where it was pressed."""

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone
from playwright.sync_api import Page, Route, expect

from hulls.models import Hull
from stages.models import Entry
from stages.services import notes
from tests.factories import a_crew_member, a_hull, a_shop, hand, product
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.journeys.phone import wait_until
from tests.stages.at_work import a_primed_hull

pytestmark = pytest.mark.django_db(transaction=True)

POLL_MS = 10_500


def opened(page: Page, hull: Hull) -> Page:
    """The hull's sheet on a page whose clock the test moves."""
    sign_in(page, a_crew_member())
    page.clock.install()
    page.goto(f"/hulls/{hull.tag}/")
    return page


def somebody_else_notes(hull: Hull, text: str) -> None:
    notes.write_note(hull_id=hull.pk, text=text, hand=hand(by=a_crew_member("ines")))


def test_it_draws_itself_anew_and_leaves_folds_open(phone_page: Page) -> None:
    a_shop()
    hull = a_hull()
    page = opened(phone_page, hull)
    page.locator("#step-hand_over > summary").tap()
    somebody_else_notes(hull, "the bow is soft")
    page.clock.run_for(POLL_MS)
    expect(page.locator("#log + .log")).to_contain_text("the bow is soft")
    expect(page.locator("#step-hand_over")).to_have_attribute("open", "")


def test_it_waits_while_a_form_is_in_use_and_catches_up_when_that_is_sent(phone_page: Page) -> None:
    a_shop()
    hull = a_hull()
    page = opened(phone_page, hull)
    page.locator("#fold-do-note > summary").tap()
    page.locator("#do-note-text").fill("half a sentence")
    somebody_else_notes(hull, "the bow is soft")
    polls: list[str] = []
    page.on("request", lambda request: polls.append(request.url) if "/part/" in request.url else None)
    page.clock.run_for(3 * POLL_MS)
    expect(page.locator("#do-note-text")).to_have_value("half a sentence")
    assert polls == []
    page.locator("#do-note > button").tap()
    expect(page.locator("#messages")).to_contain_text("half a sentence")
    expect(page.locator("#log + .log")).to_contain_text("the bow is soft")
    expect(page.locator("#fold-do-note")).not_to_have_attribute("open", "")


def test_an_answer_that_was_on_its_way_does_not_wipe_out_what_is_typed(phone_page: Page) -> None:
    a_shop()
    hull = a_hull()
    page = opened(phone_page, hull)
    held: list[Route] = []
    page.route("**/part/**", lambda route: held.append(route))
    somebody_else_notes(hull, "the bow is soft")
    with page.expect_request("**/part/**"):
        page.clock.run_for(POLL_MS)
    page.locator("#fold-do-note > summary").tap()
    page.locator("#do-note-text").fill("half a sentence")
    with page.expect_response("**/part/**"):
        held[0].continue_()
    page.clock.run_for(1_000)
    expect(page.locator("#do-note-text")).to_have_value("half a sentence")
    page.locator("#do-note > button").tap()
    expect(page.locator("#log + .log")).to_contain_text("half a sentence")
    expect(page.locator("#log + .log")).to_contain_text("the bow is soft")


def test_without_an_answer_it_is_kept_and_that_is_said_where_the_thumb_is(
    phone_page: Page, expected_console: list[str]
) -> None:
    expected_console.extend(("ERR_INTERNET_DISCONNECTED", "htmx:sendError", "htmx:afterRequest"))
    a_shop()
    page = opened(phone_page, a_hull())
    page.locator("#fold-do-note > summary").tap()
    page.locator("#do-note-text").fill("half a sentence")
    page.wait_for_load_state("networkidle")  # the form's own scripts
    page.context.set_offline(True)
    page.locator("#do-note > button").tap()
    expect(page.locator("#outbox")).to_be_in_viewport(ratio=1)
    expect(page.locator("#outbox")).to_contain_text("1 thing waits on this phone.")
    expect(page.locator("#fold-do-note .kept-here")).to_contain_text("Kept on this phone at")


def test_who_was_logged_out_logs_in_and_what_was_typed_is_sent(phone_page: Page, expected_console: list[str]) -> None:
    expected_console.extend(("status of 401", "Error Code 401"))
    a_shop()
    hull = a_hull()
    page = phone_page
    sign_in(page, a_crew_member())
    page.goto(f"/hulls/{hull.tag}/")
    page.locator("#fold-do-note > summary").tap()
    page.locator("#do-note-text").fill("half a sentence")
    Session.objects.all().delete()
    page.locator("#do-note > button").tap()
    expect(page.locator("#outbox")).to_be_in_viewport(ratio=1)
    expect(page.locator("#outbox")).to_contain_text("Waiting for hand: 1.")  # who is logged in no more
    expect(page.locator("#no-answer")).to_be_hidden()
    axe(page)
    page.locator("#outbox").get_by_role("link", name="Log in to send it").tap()
    page.locator("#id_username").fill("hand")
    page.locator("#id_password").fill("cedar and brass")
    page.locator("main button").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(hull.tag)
    wait_until(page, "what was typed is sent", lambda: Entry.objects.filter(hull=hull, kind="note").exists())
    expect(page.locator("#outbox")).to_be_hidden()
    assert [entry.kind for entry in Entry.objects.filter(hull=hull)] == ["arrived", "note"]


def test_on_paper_nothing_is_left_of_what_can_only_be_pressed(phone_page: Page) -> None:
    a_shop()
    page = opened(phone_page, a_hull())
    page.emulate_media(media="print")
    for pressed in ("#record", "#fold-do-note", "#do-start-survey", ".cleared-by", ".nav"):
        for place in page.locator(pressed).all():
            expect(place).to_be_hidden()
    expect(page.locator("#record")).to_have_count(1)
    expect(page.locator("#plan + .steps")).to_be_visible()


def test_an_impatient_thumb_records_one_line(phone_page: Page) -> None:
    a_shop()
    hull = a_hull()
    page = opened(phone_page, hull)
    page.locator("#do-start-survey > button").dblclick()
    expect(page.locator("#messages")).to_contain_text("Started")
    assert [entry.kind for entry in Entry.objects.filter(hull=hull)] == ["arrived", "started"]


@pytest.mark.parametrize("screen", ["phone_page", "desk_page"])
def test_a_refusal_stands_where_it_was_pressed_with_what_was_typed(
    screen: str, request: pytest.FixtureRequest, expected_console: list[str]
) -> None:
    expected_console.append("status of 422")
    a_shop()
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    page = request.getfixturevalue(screen)
    sign_in(page, a_crew_member())
    page.goto(f"/hulls/{hull.tag}/")
    page.get_by_role("link", name="Record a coat").click()
    page.locator("#do-coat-prime .act__more > summary").click()
    page.locator("#do-coat-prime-lot").fill("B 12")
    page.locator("#do-coat-prime > button").click()
    alert = page.locator("#do-coat-prime [role=alert]")
    expect(alert).to_contain_text("is not dry enough to be sanded")
    expect(alert).to_be_in_viewport()
    expect(page.locator("#do-coat-prime-lot")).to_have_value("B 12")
    expect(page.locator("#do-coat-prime-product")).to_have_value(str(product("primer").pk))
    axe(page)


@pytest.mark.parametrize("screen", ["phone_page", "desk_page"])
@pytest.mark.parametrize("address", ["/hulls/", "/hulls/new/", "/hulls/H-1/", "/hulls/H-1/change/"])
def test_every_page_of_hulls_passes_axe_and_nothing_is_too_small_for_a_glove(
    screen: str, address: str, request: pytest.FixtureRequest
) -> None:
    a_shop()
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    page = request.getfixturevalue(screen)
    sign_in(page, a_crew_member())
    page.goto(address)
    axe(page)
    small = page.evaluate("""() => [...document.querySelectorAll('main a, main button, main summary, main select')]
        .filter(e => e.checkVisibility() && !e.closest('p, li > p, .findings'))
        .filter(e => e.getBoundingClientRect().height < 44).map(e => e.outerHTML.slice(0, 120))""")
    assert small == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")

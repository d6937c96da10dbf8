"""Crew, with a phone where the network does not reach: pages are held, marked, and gone with the log-out."""

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone
from playwright.sync_api import Page, expect

from hulls.models import Hull, Photo
from shop.models import Role, Shop
from stages.audit import differences
from stages.services import notes
from tests.factories import a_crew_member, a_hull, a_shop, hand, station
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.journeys.phone import (
    SAID_WITHOUT_NETWORK,
    a_shot,
    ask,
    emptied,
    held,
    hold,
    queue,
    recorded,
    says,
    wait_until,
    write_note,
)

pytestmark = pytest.mark.django_db(transaction=True)

DAY = ("/", "/next/", "/waiting/", "/hulls/H-1/", "/hulls/H-2/")


@pytest.fixture
def expected_console() -> list[str]:
    """Without a network the browser says so."""
    return list(SAID_WITHOUT_NETWORK)


@pytest.fixture
def phone(app_page: Page) -> Page:
    """Ada's phone, which holds the pages of a day with two hulls."""
    a_shop()
    for tag in ("H-1", "H-2"):
        a_hull(tag, arrived=timezone.now() - timedelta(days=3))
    sign_in(app_page, a_crew_member("ada"))
    app_page.goto("/")
    hold(app_page, *DAY)
    return app_page


def test_a_day_at_the_bench_without_network_lands_once_in_order_and_with_its_own_times(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.goto("/next/")
    phone.get_by_role("link", name="H-1").first.click()
    phone.locator("#do-start-survey > button").tap()
    says(phone, "1 thing waits on this phone.")
    phone.locator("#do-photo-survey [type=file]").set_input_files(a_shot())
    says(phone, "2 things wait on this phone.")
    write_note(phone, "The bow is soft.")
    says(phone, "3 things wait on this phone.")
    phone.goto("/hulls/H-2/")
    phone.locator("#fold-do-move > summary").tap()
    phone.locator("#do-move-station").select_option(str(station("strip").pk))
    phone.locator("#do-move > button").tap()
    says(phone, "4 things wait on this phone.")
    phone.locator("#fold-do-moisture > summary").tap()
    phone.locator("#do-moisture-moisture_pct").fill("11.5")
    phone.locator("#do-moisture > button").tap()
    says(phone, "5 things wait on this phone.")
    phone.goto("/hulls/H-1/")  # a sheet that comes from the phone a second time has numbers of its own
    write_note(phone, "And the stern.")
    says(phone, "6 things wait on this phone.")
    phone.locator("#fold-do-survey > summary").tap()
    phone.locator("#do-survey-ribs").fill("3")
    phone.locator("#do-survey > button").tap()
    says(phone, "7 things wait on this phone.")
    phone.locator("#fold-do-finish-survey > summary").tap()
    phone.locator("#do-finish-survey .act__more > summary").tap()
    phone.locator("#do-finish-survey-hours").fill("1.5")
    phone.locator("#do-finish-survey > button").tap()
    says(phone, "8 things wait on this phone.")
    kept = queue(phone)
    back = timezone.now()
    phone.context.set_offline(False)
    emptied(phone)

    first, second = recorded("H-1"), recorded("H-2")
    assert [line.kind for line in first] == ["started", "photo", "note", "note", "survey", "finished"]
    assert [line.kind for line in second] == ["moved", "moisture"]
    assert [line.details["text"] for line in first if line.kind == "note"] == ["The bow is soft.", "And the stern."]
    assert first[-1].details["hours"] == 1.5
    at = {str(line.client_id): line.at.isoformat(timespec="milliseconds") for line in (*first, *second)}
    assert at == {record["id"]: record["at"].replace("Z", "+00:00") for record in kept}
    assert all(line.at < back <= line.recorded_at for line in (*first, *second))
    assert Photo.objects.get().taken_at == first[1].at
    assert list(differences()) == []


def test_a_held_page_says_of_when_it_is_and_is_loaded_anew_once_the_shop_answers(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.goto("/hulls/H-1/")
    expect(phone.locator("#as-of")).to_contain_text("No network: this page is as of")
    expect(phone.locator("#as-of time")).to_be_visible()
    axe(phone)
    notes.write_note(hull_id=Hull.objects.get(tag="H-1").pk, text="Written meanwhile.", hand=hand())
    expect(phone.locator("#log + .log")).not_to_contain_text("Written meanwhile.")
    phone.context.set_offline(False)
    expect(phone.locator("#log + .log")).to_contain_text("Written meanwhile.", timeout=30_000)
    expect(phone.locator("#as-of")).to_be_hidden()


def test_a_page_that_is_drawn_by_the_shop_is_never_marked(phone: Page) -> None:
    phone.goto("/hulls/H-1/")
    expect(phone.locator("#as-of")).to_be_hidden()
    expect(phone.locator("#outbox")).to_be_hidden()


def test_what_the_phone_does_not_hold_is_said_and_settings_are_never_held(phone: Page) -> None:
    a_crew_member("boss", Role.OWNER)
    sign_in(phone, a_crew_member("boss", Role.OWNER))
    for address in ("/admin/", "/me/", "/books/", "/stores/"):
        phone.goto(address)
    hold(phone, "/")
    assert not {"/admin/", "/me/", "/books/", "/stores/"} & set(held(phone))
    phone.context.set_offline(True)
    phone.goto("/stores/")
    expect(phone.get_by_role("heading", level=1)).to_have_text("No network")
    axe(phone)
    with pytest.raises(Exception, match="ERR_INTERNET_DISCONNECTED"):
        phone.goto("/admin/")


def test_with_the_log_out_the_pages_are_gone_and_what_waits_is_not(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.goto("/hulls/H-1/")
    write_note(phone, "The bow is soft.")
    says(phone, "1 thing waits")
    phone.locator(".people > summary").tap()
    phone.get_by_role("button", name="Log out").tap()
    expect(phone.get_by_text("You are not logged out yet.")).to_be_visible()
    assert held(phone) == []
    phone.goto("/hulls/H-1/")
    expect(phone.get_by_role("heading", level=1)).to_have_text("No network")
    phone.goto("/waiting/")
    expect(phone.locator("#waits > li")).to_have_count(1)
    expect(phone.locator("#waits")).to_contain_text("Belongs to ada")
    expect(phone.locator("#waits")).not_to_contain_text("The bow is soft.")
    assert [record["state"] for record in queue(phone)] == ["waiting"]


def test_an_online_log_out_drops_the_pages_too(phone: Page) -> None:
    phone.locator(".people > summary").tap()
    phone.get_by_role("button", name="Log out").tap()
    expect(phone.get_by_role("button", name="Log in")).to_be_visible()
    assert held(phone) == []


def test_a_session_that_is_over_drops_the_pages_with_the_way_to_the_log_in(phone: Page) -> None:
    Session.objects.all().delete()
    phone.goto("/next/")
    expect(phone.get_by_role("button", name="Log in")).to_be_visible()
    assert held(phone) == []


def test_the_next_person_finds_none_of_the_pages_of_the_one_before(phone: Page) -> None:
    sign_in(phone, a_crew_member("ines"))
    phone.goto("/next/")
    hers = "async () => /ines/.test(await (await (await caches.open('pages')).match('/next/'))?.text())"
    wait_until(phone, "the phone holds hers", lambda: ask(phone, hers))
    phone.context.set_offline(True)
    phone.goto("/next/")
    expect(phone.locator(".people > summary")).to_have_text("ines")
    phone.goto("/hulls/H-1/")
    expect(phone.locator("body")).not_to_have_attribute("data-called", "ada")


def test_a_new_worker_takes_over_and_what_waits_stays(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.goto("/hulls/H-1/")
    write_note(phone, "The bow is soft.")
    says(phone, "1 thing waits")
    shop = Shop.objects.get()
    shop.time_zone = "America/Toronto"  # it stands in the worker's first line
    shop.save()
    Session.objects.all().delete()  # so that nothing is sent before we looked
    phone.context.set_offline(False)
    expect(phone.get_by_role("button", name="Log in")).to_be_visible()
    ask(phone, "async () => { await (await navigator.serviceWorker.getRegistration()).update(); }")
    active = """async () => { const r = await navigator.serviceWorker.getRegistration();
        return !r.installing && !r.waiting && r.active?.state === 'activated'; }"""
    wait_until(phone, "the new worker is active", lambda: ask(phone, active))
    assert [record["state"] for record in queue(phone)] == ["waiting"]
    sign_in(phone, a_crew_member("ada"))
    phone.goto("/hulls/H-1/")
    emptied(phone)
    assert [line.kind for line in recorded("H-1")] == ["note"]


def test_a_phone_may_install_it(phone: Page) -> None:
    devtools = phone.context.new_cdp_session(phone)
    found = devtools.send("Page.getAppManifest")
    assert found["url"].endswith("/app.webmanifest")
    assert found["errors"] == []
    problems = devtools.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [p for p in problems if p["errorId"] != "in-incognito"] == []

"""Crew, with a phone and a network that comes and goes: what was pressed lands once, what is refused stays."""

import re
from datetime import UTC, datetime, timedelta
from urllib.parse import urlsplit

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone
from playwright.sync_api import FilePayload, Page, Request, Route, expect

from hulls.models import Hull, Photo
from stages.models import Entry
from stages.services import bench
from tests.factories import a_crew_member, a_hull, a_shop, hand
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.journeys.phone import (
    SAID_WITHOUT_NETWORK,
    a_shot,
    emptied,
    hold,
    queue,
    recorded,
    says,
    wait_until,
    write_note,
)
from tests.stages.at_work import a_primed_hull

pytestmark = pytest.mark.django_db(transaction=True)

DO = re.compile(r"/do/")


@pytest.fixture
def expected_console() -> list[str]:
    """Without a network the browser says so; refusals are errors to it."""
    return [*SAID_WITHOUT_NETWORK, "Response Status Error Code"]


@pytest.fixture
def phone(app_page: Page) -> Page:
    """Ada's phone on the sheet of a hull, which it holds."""
    a_shop()
    a_hull(arrived=timezone.now() - timedelta(days=3))
    sign_in(app_page, a_crew_member("ada"))
    app_page.goto("/hulls/H-1/")
    hold(app_page, "/hulls/H-1/", "/waiting/")
    return app_page


def posts(page: Page) -> list[str]:
    """The acts that its browser sends from now on."""
    sent: list[str] = []

    def keep(request: Request) -> None:
        if request.method == "POST" and DO.search(request.url):
            sent.append(urlsplit(request.url).path)

    page.context.on("request", keep)
    return sent


def back_on(page: Page) -> None:
    """The network is back, and the phone is looked at."""
    page.context.set_offline(False)
    page.evaluate("() => { dispatchEvent(new Event('online')); }")


# --- Once


def test_with_a_network_nothing_waits_and_the_sheet_is_as_ever(phone: Page) -> None:
    sent = posts(phone)
    write_note(phone, "The bow is soft.")
    expect(phone.locator("#messages")).to_contain_text("The bow is soft.")
    assert queue(phone) == []
    assert sent == ["/hulls/H-1/do/note/"]


def test_where_the_answer_is_lost_after_it_was_recorded_it_is_sent_again_and_recorded_once(phone: Page) -> None:
    def lose(route: Route) -> None:
        route.fetch()
        route.abort("connectionreset")

    sent = posts(phone)
    phone.context.route(DO, lose, times=2)  # the page's own try, and the queue's first
    write_note(phone, "The bow is soft.")
    wait_until(phone, "it is sent a third time", lambda: len(sent) == 3)
    emptied(phone)
    assert [line.kind for line in recorded("H-1")] == ["note"]


def test_photos_that_were_chosen_together_are_kept_once_each_where_the_answer_is_lost(phone: Page) -> None:
    def lose(route: Route) -> None:
        route.fetch()
        route.abort("connectionreset")

    phone.context.route(DO, lose, times=1)
    phone.locator("#fold-do-photo > summary").tap()
    chosen = [a_shot(f"{n}.jpg", side) for n, side in enumerate((300, 310, 320))]
    phone.locator("#do-photo [name=images]").set_input_files(chosen)
    phone.locator("#do-photo > button").tap()
    wait_until(phone, "all three are on record", lambda: Photo.objects.count() == 3)
    emptied(phone)
    assert [line.kind for line in recorded("H-1")] == ["photo"] * 3


def test_a_page_that_is_closed_while_it_sends_leaves_it_on_the_phone(phone: Page) -> None:
    phone.context.route(DO, lambda route: None, times=1)  # no answer ever comes
    with phone.context.expect_event("request", lambda request: bool(DO.search(request.url))):
        write_note(phone, "The bow is soft.")
    other = phone.context.new_page()
    phone.close()
    other.goto("/hulls/")
    emptied(other)
    assert [line.details["text"] for line in recorded("H-1")] == ["The bow is soft."]


def test_two_pages_that_are_open_at_once_send_each_thing_once(phone: Page) -> None:
    other = phone.context.new_page()
    other.goto("/hulls/")
    phone.context.set_offline(True)
    for n in range(5):
        write_note(phone, f"Note {n}.")
        says(phone, f"{n + 1} thing")
    says(other, "5 things wait")
    sent = posts(phone)
    phone.context.set_offline(False)
    for page in (phone, other):
        page.evaluate("() => { dispatchEvent(new Event('online')); }")
    emptied(phone)
    assert len(sent) == 5
    assert [line.details["text"] for line in recorded("H-1")] == [f"Note {n}." for n in range(5)]


def test_an_impatient_thumb_without_a_network_keeps_one(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.locator("#do-start-survey > button").dblclick()
    says(phone, "1 thing waits")
    assert len(queue(phone)) == 1


def test_the_next_that_is_typed_into_the_same_form_has_a_number_of_its_own(phone: Page) -> None:
    phone.context.set_offline(True)
    for text in ("One.", "Two."):
        write_note(phone, text)
        expect(phone.locator("#do-note-text")).to_be_hidden()
    assert len({record["id"] for record in queue(phone)}) == 2
    back_on(phone)
    emptied(phone)
    assert [line.details["text"] for line in recorded("H-1")] == ["One.", "Two."]


# --- Refused, and what comes of it


def test_what_the_rules_refuse_stays_in_sight_until_it_is_mended(phone: Page) -> None:
    primed = a_primed_hull(coat_at=timezone.now() - timedelta(hours=1), tag="H-2")
    phone.goto(f"/hulls/{primed.tag}/")
    hold(phone, f"/hulls/{primed.tag}/")
    phone.context.set_offline(True)
    phone.get_by_role("link", name="Record sanding").first.tap()  # to the sheet that it holds, where the form is
    phone.locator("#do-sand-prime-grit").fill("220")
    phone.locator("#do-sand-prime > button").tap()
    write_note(phone, "Sanded too early.")
    says(phone, "2 things wait")
    back_on(phone)
    says(phone, "Not recorded: 1.")
    wait_until(phone, "the later one is judged all the same", lambda: recorded("H-2")[-1].kind == "note")
    phone.goto("/waiting/")
    entry = phone.locator("#waits > li")
    expect(entry).to_have_count(1)
    expect(entry).to_contain_text("is not dry enough to be sanded")
    expect(entry.locator("[name=grit]")).to_have_value("220")
    axe(phone)
    phone.reload()
    expect(entry.locator("[name=grit]")).to_have_value("220")
    entry.locator("[name=grit]").fill("180")
    entry.evaluate("item => { item.dataset.before = ''; }")
    entry.locator("form > button").tap()
    again = phone.locator("#waits > li:not([data-before])")
    expect(again).to_contain_text("is not dry enough to be sanded")
    expect(again.locator("[name=grit]")).to_have_value("180")
    entry.get_by_text("Throw it away", exact=True).tap()
    entry.get_by_role("button", name="Throw it away for good").tap()
    expect(phone.locator("#waits-nothing")).to_be_visible()
    expect(phone.locator("#outbox")).to_be_hidden()


def test_a_fold_of_the_list_stays_open_while_more_comes_in(phone: Page) -> None:
    listed = phone.context.new_page()
    listed.goto("/waiting/")
    phone.context.set_offline(True)
    write_note(phone, "One.")
    listed.get_by_text("Throw it away", exact=True).tap()
    write_note(phone, "Two.")
    expect(listed.locator("#waits > li")).to_have_count(2)
    expect(listed.get_by_role("button", name="Throw it away for good")).to_have_count(1)
    listed.get_by_role("button", name="Throw it away for good").tap()
    expect(listed.locator("#waits > li")).to_have_count(1)
    expect(listed.locator("#waits > li")).to_contain_text("Two.")


def test_a_refused_one_that_is_mended_is_recorded_at_its_own_moment(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.locator("#fold-do-moisture > summary").tap()
    phone.locator("#do-moisture-moisture_pct").fill("1150")
    phone.locator("#do-moisture > button").tap()
    says(phone, "1 thing waits")
    [kept] = queue(phone)
    back_on(phone)
    says(phone, "Not recorded: 1.")
    phone.goto("/waiting/")
    phone.locator("#waits [name=moisture_pct]").fill("11.5")
    phone.locator("#waits form > button").tap()
    emptied(phone)
    [line] = recorded("H-1")
    assert line.details["moisture_pct"] == 11.5
    assert line.at == datetime.fromisoformat(kept["at"])
    assert str(line.client_id) == kept["id"]


def test_a_file_that_is_no_photo_is_named_and_its_words_stay(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.locator("#fold-do-photo > summary").tap()
    picture: FilePayload = {"name": "drawing.svg", "mimeType": "image/svg+xml", "buffer": b"<svg/>"}
    phone.locator("#do-photo [name=images]").set_input_files([a_shot(), picture])
    phone.locator("#do-photo-caption").fill("The stem")
    phone.locator("#do-photo > button").tap()
    says(phone, "2 things wait")
    back_on(phone)
    says(phone, "Not recorded: 1.")
    phone.goto("/waiting/")
    expect(phone.locator("#waits")).to_contain_text("drawing.svg was not kept.")
    expect(phone.locator("#waits [name=caption]")).to_have_value("The stem")
    assert Photo.objects.count() == 1


@pytest.mark.parametrize(("status", "words"), [(413, "It is too large for the shop."), (404, "no such hull any more")])
def test_an_answer_without_words_of_the_shops_is_put_into_some(phone: Page, status: int, words: str) -> None:
    phone.context.set_offline(True)
    write_note(phone, "The bow is soft.")
    says(phone, "1 thing waits")
    phone.context.route(DO, lambda route: route.fulfill(status=status, body="nginx"), times=1)
    back_on(phone)
    says(phone, "Not recorded: 1.")
    phone.goto("/waiting/")
    expect(phone.locator("#waits")).to_contain_text(words)
    expect(phone.locator("#waits")).to_contain_text("The bow is soft.")
    phone.get_by_role("button", name="Send it again").tap()
    emptied(phone)
    assert [line.kind for line in recorded("H-1")] == ["note"]


@pytest.mark.parametrize("status", [404, 413])
def test_a_press_that_is_answered_in_no_words_of_the_shops_stays_on_the_phone(phone: Page, status: int) -> None:
    phone.context.route(DO, lambda route: route.fulfill(status=status, body="nginx"))
    write_note(phone, "The bow is soft.")
    says(phone, "Not recorded: 1.")
    phone.context.unroute(DO)
    phone.goto("/waiting/")
    expect(phone.locator("#waits")).to_contain_text("The bow is soft.")
    phone.get_by_role("button", name="Send it again").tap()
    emptied(phone)
    assert [line.kind for line in recorded("H-1")] == ["note"]


def test_what_somebody_else_had_recorded_already_is_said_until_it_is_seen(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.locator("#do-start-survey > button").tap()
    says(phone, "1 thing waits")
    bench.start_stage(hull_id=Hull.objects.get().pk, stage="survey", hand=hand(by=a_crew_member("ines")))
    back_on(phone)
    says(phone, "Sent, with a word from the shop: 1.")
    phone.goto("/waiting/")
    expect(phone.locator("#waits")).to_contain_text("ines had recorded this already")
    phone.get_by_role("button", name="Seen").tap()
    expect(phone.locator("#waits-nothing")).to_be_visible()


# --- Later


def test_a_server_that_breaks_is_asked_again_and_the_order_of_the_hull_is_kept(phone: Page) -> None:
    phone.context.route(DO, lambda route: route.fulfill(status=500, body="broke"), times=2)
    write_note(phone, "One.")
    expect(phone.locator("#do-note-text")).to_be_hidden()
    write_note(phone, "Two.")
    emptied(phone)
    assert [line.details["text"] for line in recorded("H-1")] == ["One.", "Two."]


def test_a_session_that_is_over_keeps_the_queue_asks_for_the_log_in_and_goes_on(phone: Page) -> None:
    phone.context.set_offline(True)
    write_note(phone, "The bow is soft.")
    Session.objects.all().delete()
    back_on(phone)
    says(phone, "Log in to send it")
    assert [record["state"] for record in queue(phone)] == ["waiting"]
    phone.goto("/waiting/")
    phone.get_by_role("link", name="Log in to send what waits").tap()
    phone.locator("#id_username").fill("ada")
    phone.locator("#id_password").fill("cedar and brass")
    phone.locator("main button").click()
    emptied(phone)
    [line] = recorded("H-1")
    assert line.by == a_crew_member("ada")


def test_another_on_the_same_phone_sends_nothing_under_her_name_and_sees_whose_it_is(phone: Page) -> None:
    phone.context.set_offline(True)
    write_note(phone, "Ada's own words.")
    says(phone, "1 thing waits")
    sign_in(phone, a_crew_member("ines"))
    phone.context.set_offline(False)
    phone.goto("/waiting/")
    says(phone, "Waiting for ada: 1.")
    expect(phone.locator("#waits")).to_contain_text("Belongs to ada")
    expect(phone.locator("#waits")).not_to_contain_text("Ada's own words.")
    phone.goto("/hulls/H-1/")
    write_note(phone, "Ines's.")
    expect(phone.locator("#messages")).to_contain_text("Ines's.")
    assert len(queue(phone)) == 1
    sign_in(phone, a_crew_member("ada"))
    phone.goto("/hulls/H-1/")
    emptied(phone)
    by = {line.details["text"]: line.by.username for line in recorded("H-1") if line.by}
    assert by == {"Ada's own words.": "ada", "Ines's.": "ines"}


# --- Clocks and room


def test_a_phone_whose_clock_is_hours_off_records_the_shops_time(phone: Page) -> None:
    phone.clock.set_fixed_time(datetime.now(UTC) + timedelta(hours=5))
    phone.reload()
    write_note(phone, "So that the shop was heard.")
    expect(phone.locator("#messages")).to_contain_text("So that the shop was heard.")
    phone.context.set_offline(True)
    before = timezone.now()
    write_note(phone, "The bow is soft.")
    says(phone, "1 thing waits")
    back_on(phone)
    emptied(phone)
    line = recorded("H-1")[-1]
    assert abs(line.at - before) < timedelta(minutes=3)


def test_a_clock_that_was_changed_while_it_waited_is_asked_about(phone: Page) -> None:
    phone.context.set_offline(True)
    write_note(phone, "The bow is soft.")
    says(phone, "1 thing waits")
    phone.clock.set_fixed_time(datetime.now(UTC) - timedelta(days=1))
    back_on(phone)
    says(phone, "Not recorded: 1.")
    phone.goto("/waiting/")
    expect(phone.locator("#waits")).to_contain_text("Write when it was.")
    told = timezone.now() - timedelta(hours=4)
    phone.locator("#waits [name=at]").fill(told.strftime("%Y-%m-%dT%H:%M"))
    phone.locator("#waits form > button").tap()
    emptied(phone)
    assert recorded("H-1")[0].at == told.replace(second=0, microsecond=0)


def test_a_phone_that_is_full_says_so_beside_the_form_and_keeps_what_was_typed(phone: Page) -> None:
    devtools = phone.context.new_cdp_session(phone)
    origin = "{0.scheme}://{0.netloc}".format(urlsplit(phone.url))
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1})
    phone.context.set_offline(True)
    phone.locator("#fold-do-photo > summary").tap()
    phone.locator("#do-photo [name=images]").set_input_files(a_shot(side=1600))
    phone.locator("#do-photo-caption").fill("The stem")
    phone.locator("#do-photo > button").tap()
    expect(phone.locator("#do-photo > .errorlist")).to_contain_text("The storage of this phone is full")
    expect(phone.locator("#do-photo-caption")).to_have_value("The stem")
    assert queue(phone) == []
    phone.context.set_offline(False)
    phone.locator("#do-photo > button").tap()
    expect(phone.locator("#messages")).to_contain_text("1 photo kept.")


def test_the_address_of_a_new_link_is_never_asked_for_later(phone: Page) -> None:
    phone.context.set_offline(True)
    phone.locator("#do-link > button").tap()
    expect(phone.locator("#no-answer")).to_be_visible()
    assert queue(phone) == []
    assert not Entry.objects.filter(kind="link").exists()


def test_on_a_wide_screen_too_the_list_passes_axe(phone: Page) -> None:
    phone.set_viewport_size({"width": 1280, "height": 900})
    phone.context.set_offline(True)
    phone.locator("#do-start-survey > button").click()
    says(phone, "1 thing waits")
    axe(phone)
    phone.goto("/waiting/")
    expect(phone.locator("#waits > li")).to_have_count(1)
    axe(phone)

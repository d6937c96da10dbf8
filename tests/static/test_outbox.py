"""The queue's own reckoning, in the browser that runs it: what goes next, what an answer means, numbers and clocks."""

from collections.abc import Iterator
from typing import Any
from uuid import NAMESPACE_DNS, UUID, uuid4, uuid5

import pytest
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def page(chromium: Browser, live_server: LiveServer) -> Iterator[Page]:
    """An empty page of the shop's site, for its modules alone."""
    context = chromium.new_context(base_url=live_server.url)
    page = context.new_page()
    page.goto("/healthz")
    yield page
    context.close()


def run(page: Page, module: str, expression: str, argument: Any = None) -> Any:
    """What an expression gives of a module `m` and an argument `a`."""
    return page.evaluate(
        f"async (a) => {{ const m = await import('/static/js/{module}.js'); return {expression}; }}", argument
    )


def waits(seq: int, tag: str = "H-1", **more: Any) -> dict[str, Any]:
    record = {"seq": seq, "id": str(seq), "who": "7", "tag": tag, "state": "waiting", "tries": 0, "notBefore": 0}
    return {**record, "files": [], **more}


def goes_next(page: Page, records: list[dict[str, Any]], who: str = "7", now: int = 1000) -> int | None:
    found: int | None = run(page, "outbox", f"m.next(a, '{who}', {now})?.seq ?? null", records)
    return found


def test_the_oldest_goes_first_whatever_order_they_lie_in(page: Page) -> None:
    assert goes_next(page, [waits(3), waits(1, "H-2"), waits(2)]) == 1


def test_one_that_is_held_back_holds_back_its_own_hull_alone(page: Page) -> None:
    late = waits(1, notBefore=2000)
    assert goes_next(page, [late, waits(2), waits(3, "H-2")]) == 3
    assert goes_next(page, [late, waits(2)]) is None
    assert goes_next(page, [late, waits(2)], now=2000) == 1


def test_a_refused_one_lets_the_later_ones_of_its_hull_go(page: Page) -> None:
    assert goes_next(page, [waits(1, state="refused"), waits(2)]) == 2


def test_nobody_sends_what_another_did(page: Page) -> None:
    records = [waits(1, who="8"), waits(2)]
    assert goes_next(page, records) == 2
    assert goes_next(page, records, who="8") == 1
    assert goes_next(page, records, who="") is None


@pytest.mark.parametrize(
    ("status", "verdict"),
    [
        (0, "later"),
        (200, "done"),
        (303, "later"),
        (400, "refused"),
        (401, "log-in"),
        (403, "forbidden"),
        (404, "refused"),
        (408, "later"),
        (409, "already"),
        (413, "refused"),
        (422, "refused"),
        (429, "later"),
        (500, "later"),
        (503, "later"),
    ],
)
def test_each_answer_has_one_meaning(page: Page, status: int, verdict: str) -> None:
    assert run(page, "outbox", "m.verdict(a)", status) == verdict


def test_only_what_the_page_shows_itself_is_left_to_it(page: Page) -> None:
    statuses = [0, 200, 303, 400, 401, 403, 404, 408, 409, 413, 422, 429, 500, 503]
    assert run(page, "outbox", "a.filter(m.isShown)", statuses) == [200, 409, 422]


def test_after_each_try_in_vain_it_waits_twice_as_long_and_never_over_five_minutes(page: Page) -> None:
    waited = run(page, "outbox", "[1, 2, 3, 8, 9, 60].map(m.holdBack)")
    assert waited == [2_000, 4_000, 8_000, 256_000, 300_000, 300_000]


def settled(page: Page, record: dict[str, Any], status: int, **told: Any) -> Any:
    return run(page, "outbox", f"m.settled(a[0], {status}, a[1]) ?? null", [record, told])


def test_what_is_done_goes_and_what_the_shop_has_a_word_on_stays(page: Page) -> None:
    assert settled(page, waits(1), 200, words=[{"text": "Kept.", "warns": False}]) is None
    warned = settled(page, waits(1), 200, words=[{"text": "No lot had enough.", "warns": True}])
    assert (warned["state"], warned["words"][0]["text"]) == ("told", "No lot had enough.")
    assert settled(page, waits(1), 409, words=[])["state"] == "told"


def test_a_server_that_broke_is_asked_again_later_and_nothing_is_lost(page: Page) -> None:
    after = settled(page, waits(1, tries=2), 500, now=10_000)
    assert (after["state"], after["tries"], after["notBefore"]) == ("waiting", 3, 18_000)


def test_forbidden_once_is_an_old_token_and_twice_is_a_refusal(page: Page) -> None:
    once = settled(page, waits(1), 403)
    assert (once["state"], once["forbidden"]) == ("waiting", True)
    assert settled(page, once, 403)["state"] == "refused"


def test_the_number_of_a_further_photo_is_that_of_rfc_9562_and_of_the_server(page: Page) -> None:
    # RFC 9562, appendix A.4: the name www.example.com below the name space of DNS.
    example = run(page, "uuids", "m.derivedId(a, 'www.example.com')", str(NAMESPACE_DNS))
    assert example == "2ed6657d-e927-568b-95e1-2665a8aea6a2"
    for n in (1, 2, 99):
        parent = uuid4()
        assert UUID(run(page, "uuids", f"m.derivedId(a, {n})", str(parent))) == uuid5(parent, str(n))


# RFC 9110, section 5.6.7: the date of an answer in the one form that is to be written.
DATE, DATE_MS = "Sun, 06 Nov 1994 08:49:37 GMT", 784_111_777_000


@pytest.mark.parametrize(
    ("asked", "heard", "off"),
    [
        (DATE_MS + 400, DATE_MS + 600, 0),
        (DATE_MS - 3_600_000, DATE_MS - 3_600_000 + 1_000, 3_600_000),
        (DATE_MS + 86_400_000, DATE_MS + 86_400_000 + 1_000, -86_400_000),
        (DATE_MS, DATE_MS + 10_001, None),  # too slow to say anything
    ],
)
def test_how_far_the_phones_clock_is_off_is_read_off_the_date_of_an_answer(
    page: Page, asked: int, heard: int, off: int | None
) -> None:
    assert run(page, "clock", "m.offBy(...a)", [DATE, asked, heard]) == off


def test_no_date_says_nothing_of_the_clock(page: Page) -> None:
    assert run(page, "clock", "m.offBy(null, 1, 2)") is None


@pytest.mark.parametrize(("by_ms", "changed"), [(119_000, False), (120_000, False), (121_000, True), (-121_000, True)])
def test_a_clock_that_was_put_forward_or_back_is_found_out(page: Page, by_ms: int, changed: bool) -> None:
    assert run(page, "clock", "m.wasChanged(5000, 5000 + a)", by_ms) is changed

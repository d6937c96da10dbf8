"""Crew, with a phone: a hull goes through filler and primer, and enamel on an unsanded primer is refused."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from hulls.models import Hull
from shop.models import WeatherDay, Zone
from stages.audit import differences
from stages.models import CoatOn, Entry
from stages.services import notes
from tests.at_work import bring_to
from tests.factories import a_crew_member, a_hull, a_shop, hand
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in

pytestmark = pytest.mark.django_db(transaction=True)

MORNING = datetime(2031, 5, 5, 8, 0, tzinfo=UTC)


@pytest.fixture
def clock() -> Iterator[time_machine.Traveller]:
    """The shop's clock, which the test moves."""
    with time_machine.travel(MORNING, tick=True) as traveller:
        yield traveller


@pytest.fixture
def expected_console() -> list[str]:
    """The refused coat is answered with 422, which the browser's console calls an error."""
    return ["status of 422"]


def a_hull_to_fill(clock: time_machine.Traveller) -> Hull:
    """A hull with new, aired canvas that waits in the filler bay."""
    a_shop()
    came = timezone.now()
    for n in range(60):
        WeatherDay.objects.create(zone=Zone.objects.get(outdoors=True), day=came.date() + timedelta(days=n), dry=True)
    hull = a_hull("H-104", arrived=came)
    notes.record_lead_test(hull_id=hull.pk, positive=False, hand=hand(at=came))
    clock.shift(timedelta(days=60))
    ready = bring_to(hull, "fill_latex", came)
    clock.move_to(ready)
    return hull


def test_a_hull_goes_through_filler_and_primer_and_an_enamel_coat_is_refused(
    phone_page: Page, clock: time_machine.Traveller
) -> None:
    hull = a_hull_to_fill(clock)
    sign_in(phone_page, a_crew_member("ada"))
    phone_page.goto("/next/")
    phone_page.get_by_role("link", name="H-104").first.click()
    expect(phone_page.get_by_role("heading", level=1)).to_contain_text("H-104")

    press(phone_page, "start", "fill_latex")
    for coat in (1, 2, 3):
        press(phone_page, "coat", "fill_latex", lot=f"pail {coat}")
        expect(phone_page.locator("#messages")).to_contain_text("Latex canvas filler")
        clock.shift(timedelta(hours=5))
        phone_page.reload()
    clock.shift(timedelta(days=2))
    phone_page.reload()
    press(phone_page, "finish", "fill_latex")
    axe(phone_page)

    fold(phone_page, "#do-move")
    phone_page.locator("#do-move-station").select_option(label=option(phone_page, "finishing station"))
    phone_page.locator("#do-move button").click()
    expect(phone_page.locator("#messages")).to_contain_text("finishing station")
    press(phone_page, "start", "prime")
    press(phone_page, "coat", "prime", lot="P1")
    clock.shift(timedelta(hours=17))
    phone_page.reload()
    press(phone_page, "sand", "prime")
    press(phone_page, "coat", "prime", lot="P2")
    clock.shift(timedelta(hours=17))
    phone_page.reload()
    press(phone_page, "finish", "prime")
    press(phone_page, "start", "enamel")

    enamel = press(phone_page, "coat", "enamel", lot="pot 7, the green one")
    expect(enamel).to_contain_text("has not been sanded")
    expect(enamel.locator("[name=lot]")).to_have_value("pot 7, the green one")
    axe(phone_page)
    assert not CoatOn.objects.filter(work=hull.pk, stage="enamel").exists()
    press(phone_page, "sand", "enamel")
    press(phone_page, "coat", "enamel", lot="pot 7, the green one")
    expect(phone_page.locator("#messages")).to_contain_text("enamel")

    skin = CoatOn.objects.filter(work=hull.pk, surface="skin").order_by("layer")
    kinds = ["canvas", "preservative", *["latex_filler"] * 3, *["primer"] * 2, "enamel"]
    assert list(skin.values_list("product__kind", flat=True)) == kinds
    assert Entry.objects.filter(hull=hull, by__username="ada", kind="coat").count() == 6
    assert list(differences()) == []


def fold(page: Page, form: str) -> None:
    """Open the fold that a form lies in."""
    if not page.locator(form).is_visible():
        page.locator(f"details:not([open]):has({form}) > summary").click()


def press(page: Page, action: str, stage: str, *, lot: str = "") -> Locator:
    """Fill in a step's form and press its button; return the form as it stands after the answer."""
    name = f"#do-{action}-{stage}"
    form = page.locator(name)
    fold(page, name)
    if lot:
        box = form.locator("[name=lot]")
        if not box.is_visible():
            form.locator("details > summary").click()
        box.fill(lot)
    with page.expect_response(lambda response: f"/do/{action}/" in response.url):
        form.locator("button[type=submit]").click()
    expect(page.locator(".htmx-request")).to_have_count(0)  # it is on its way until its answer stands on the page
    return form


def option(page: Page, station: str) -> str:
    """The text of a station's option, which tells its free places."""
    return page.locator("#do-move-station option", has_text=station).inner_text()

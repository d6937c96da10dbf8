import re
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from playwright.sync_api import Page
from pytest_django import DjangoAssertNumQueries

from shop.models import Flag, Reading, Role, Sensor, Shop, Zone
from shop.readings.ingest import take_in
from shop.readings.sample import Sample
from shop.services.sensors import add_sensor, digest_of
from tests.factories import a_crew_member, the_shop_owner
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in

pytestmark = pytest.mark.django_db

PAGE = "/sensors/"
START = datetime(2026, 6, 1, 8, tzinfo=UTC)
POSTS = ["/sensors/", "/sensors/decide/", "/sensors/1/token/", "/sensors/1/withdraw/"]
SCROLLED = """() => [...document.querySelectorAll('html, main, main *')]
    .filter(part => part.scrollWidth > part.clientWidth && getComputedStyle(part).overflowX === 'auto'
        || part.getBoundingClientRect().right > innerWidth)
    .map(part => part.outerHTML.slice(0, 80))"""


@pytest.fixture
def boss(client: Client) -> Client:
    Shop.objects.create(pk=1, time_zone="Europe/Paris")
    client.force_login(the_shop_owner())
    return client


def a_sensor(name: str = "Loft 1", *, sends: bool = True) -> Sensor:
    zone, _ = Zone.objects.get_or_create(name="Loft")
    return add_sensor(name=name, zone=zone, every_min=5, sends=sends, by=None)[0]


def a_wild_reading(sensor: Sensor) -> None:
    air = [(-20, 20.0), (-15, 20.1), (0, 20.0), (5, 45.0), (10, 44.0), (15, 20.2)]
    samples = [Sample(at=START + timedelta(minutes=m), air_c=air_c, rh_pct=50.0) for m, air_c in air]
    take_in(sensor=sensor, now=timezone.now(), air=samples)


def words(response: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", response.content.decode())).split())


def add(client: Client, **fields: Any) -> Any:
    zone, _ = Zone.objects.get_or_create(name="Loft")
    return client.post(PAGE, {"name": "Loft 1", "zone": zone.pk, "every_min": 5, "sends": "on", **fields})


def decide(client: Client, sensor: Sensor, say: str, fields: dict[str, object] | None = None) -> Any:
    first, last = START + timedelta(minutes=5), START + timedelta(minutes=10)
    run = {"sensor": sensor.pk, "flag": "wild", "first": first.isoformat(), "last": last.isoformat(), "say": say}
    return client.post("/sensors/decide/", {**run, **(fields or {})})


# --- Who may


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
def test_the_page_is_the_shop_owners(client: Client, role: Role) -> None:
    a_sensor()
    client.force_login(a_crew_member("other", role))
    assert client.get(PAGE).status_code == 403
    assert [client.post(address).status_code for address in POSTS] == [403] * 4
    assert Sensor.objects.get().withdrawn_at is None


def test_without_a_log_in_the_log_in_comes_first(client: Client) -> None:
    response = client.get(PAGE)
    assert (response.status_code, response["Location"]) == (302, f"/login/?next={PAGE}")


def test_other_methods_are_refused(boss: Client) -> None:
    a_sensor()
    assert boss.put(PAGE).status_code == 405
    assert [boss.get(address).status_code for address in POSTS[1:]] == [405] * 3


def test_an_unknown_sensor_is_not_found(boss: Client) -> None:
    assert boss.post("/sensors/99/token/").status_code == 404
    assert boss.post("/sensors/99/withdraw/").status_code == 404


# --- Add, renew, withdraw


def test_a_sensor_is_added_and_its_token_shown_once(boss: Client) -> None:
    response = add(boss)
    assert response.status_code == 200
    assert "no-store" in response["Cache-Control"]
    shown = re.search(r"<code>(\S+)</code>", response.content.decode())
    assert shown is not None
    sensor = Sensor.objects.get()
    assert sensor.token_digest == digest_of(shown[1])
    assert sensor.added_by == the_shop_owner()
    assert shown[1] not in boss.get(PAGE).content.decode()


def test_a_logger_is_added_without_a_token(boss: Client) -> None:
    response = add(boss, sends="")
    assert (response.status_code, response["Location"]) == (302, PAGE)
    assert Sensor.objects.get().token_digest is None
    assert "no token: its file is brought" in words(boss.get(PAGE))


@pytest.mark.parametrize(
    "fields", [{"name": ""}, {"zone": 99}, {"every_min": 0}, {"every_min": 1441}, {"every_min": "x"}]
)
def test_a_sensor_that_cannot_be_is_refused_beside_the_field(boss: Client, fields: dict[str, object]) -> None:
    response = add(boss, **fields)
    assert response.status_code == 422
    assert 'class="errorlist"' in response.content.decode()
    assert not Sensor.objects.exists()


def test_a_sensor_sent_twice_is_added_once(boss: Client) -> None:
    add(boss)
    response = add(boss)
    assert response.status_code == 422
    assert "already exists" in words(response)
    assert Sensor.objects.count() == 1


def test_a_token_is_renewed_and_shown_once(boss: Client) -> None:
    sensor = a_sensor()
    response = boss.post(f"/sensors/{sensor.pk}/token/")
    shown = re.search(r"<code>(\S+)</code>", response.content.decode())
    assert shown is not None
    before, sensor = sensor.token_digest, Sensor.objects.get()
    assert sensor.token_digest == digest_of(shown[1]) != before


def test_a_sensor_is_withdrawn_sent_twice_or_not_and_comes_back_with_a_new_token(boss: Client) -> None:
    sensor = a_sensor()
    for _ in range(2):
        assert boss.post(f"/sensors/{sensor.pk}/withdraw/").status_code == 302
    page = words(boss.get(PAGE))
    assert "Loft 1 is withdrawn. Its readings stay." in page
    assert f"withdrawn {timezone.localdate():%Y-%m-%d}" in page
    boss.post(f"/sensors/{sensor.pk}/token/")
    sensor.refresh_from_db()
    assert (sensor.withdrawn_at, sensor.token_digest is None) == (None, False)


def test_a_silent_sensor_is_named(boss: Client) -> None:
    sensor = a_sensor()
    a_sensor("Logger", sends=False)
    assert "silent" not in words(boss.get(PAGE))
    Sensor.objects.update(last_heard_at=timezone.now() - timedelta(minutes=16))
    assert words(boss.get(PAGE)).count("silent") == 1
    Sensor.objects.filter(pk=sensor.pk).update(last_heard_at=timezone.now() - timedelta(minutes=14))
    assert "silent" not in words(boss.get(PAGE))


# --- Flagged readings


def test_flagged_readings_are_shown_in_runs_by_the_shops_clock(boss: Client) -> None:
    a_wild_reading(a_sensor())
    page = words(boss.get(PAGE))
    assert (
        "Loft 1 2026-06-01 10:05 – 2026-06-01 10:10 2 readings · 44.0 °C – 45.0 °C · 50 % Air does not change" in page
    )
    assert "2 readings wait" in page


@pytest.mark.parametrize(
    ("say", "out", "words_of_it"), [("in", False, "2 readings count."), ("out", True, "2 readings stay out.")]
)
def test_somebody_decides_and_it_stands_with_who_and_when(boss: Client, say: str, out: bool, words_of_it: str) -> None:
    sensor = a_sensor()
    a_wild_reading(sensor)
    response = decide(boss, sensor, say)
    assert (response.status_code, response["Location"]) == (302, PAGE)
    page = words(boss.get(PAGE))
    assert words_of_it in page
    assert "Readings that look wrong" not in page
    decided = Reading.objects.filter(flag=Flag.WILD)
    assert {(row.out, row.decided_by, row.decided_at is None) for row in decided} == {(out, the_shop_owner(), False)}
    assert f"{'taken in' if say == 'in' else 'kept out'} boss" in page


def test_a_decision_sent_twice_is_one_and_may_be_changed(boss: Client) -> None:
    sensor = a_sensor()
    a_wild_reading(sensor)
    decide(boss, sensor, "in")
    first = Reading.objects.filter(flag=Flag.WILD).values_list("decided_at", flat=True)[0]
    decide(boss, sensor, "in")
    assert "That was decided already." in words(boss.get(PAGE))
    assert set(Reading.objects.filter(flag=Flag.WILD).values_list("decided_at", flat=True)) == {first}
    decide(boss, sensor, "out")
    assert set(Reading.objects.filter(flag=Flag.WILD).values_list("out", flat=True)) == {True}


@pytest.mark.parametrize("fields", [{"sensor": 99}, {"flag": "odd"}, {"first": "x"}, {"say": "perhaps"}])
def test_a_decision_on_nothing_is_refused(boss: Client, fields: dict[str, object]) -> None:
    sensor = a_sensor()
    a_wild_reading(sensor)
    assert decide(boss, sensor, "in", fields).status_code == 422
    assert not Reading.objects.filter(decided_at__isnull=False).exists()


def test_the_number_of_queries_does_not_hang_on_the_number_of_sensors(
    boss: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    boss.get(PAGE)
    for count in (1, 6):
        for n in range(count):
            sensor = a_sensor(f"S {count} {n}")
            a_wild_reading(sensor)
            decide(boss, sensor, "out", {"last": (START + timedelta(minutes=5)).isoformat()})
        boss.get(PAGE)
        with django_assert_num_queries(9):
            boss.get(PAGE)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("screen", ["phone_page", "desk_page"])
def test_in_a_browser_a_reading_is_kept_out_and_a_sensor_added(screen: str, request: pytest.FixtureRequest) -> None:
    page: Page = request.getfixturevalue(screen)
    a_wild_reading(a_sensor())
    sign_in(page, the_shop_owner())
    page.goto(PAGE)
    axe(page)
    page.get_by_role("button", name="Keep out").click()
    page.get_by_text("2 readings stay out.").wait_for()
    page.get_by_label("Name").fill("Shed 1")
    page.get_by_label("Zone").select_option("Loft")
    page.get_by_role("button", name="Add the sensor").click()
    page.get_by_role("heading", name="The token of Shed 1").wait_for()
    axe(page)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.django_db(transaction=True)
def test_on_a_phone_flagged_readings_are_a_list_that_needs_no_scrolling_sideways(phone_page: Page) -> None:
    a_wild_reading(a_sensor("North wall of the finishing room, upper shelf"))
    a_sensor("A logger", sends=False)
    sign_in(phone_page, the_shop_owner())
    phone_page.goto(PAGE)
    assert phone_page.evaluate(SCROLLED) == []
    items = phone_page.get_by_role("region", name="Readings that look wrong").get_by_role("listitem")
    assert items.count() == 1
    for part in items.locator("*").all():
        box = part.bounding_box()
        assert box is None or box["x"] + box["width"] <= 390
    assert items.get_by_role("button").count() == 2
    items.get_by_role("button", name="Take in").click()
    phone_page.get_by_role("region", name="What was decided").get_by_text("taken in").wait_for()
    assert phone_page.evaluate(SCROLLED) == []
    phone_page.get_by_role("link", name="North wall").click()
    phone_page.get_by_role("button", name="Change the sensor").wait_for()
    axe(phone_page)
    assert phone_page.evaluate(SCROLLED) == []

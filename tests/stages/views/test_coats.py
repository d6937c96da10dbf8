"""The page of one coat: its dry clock in words, in a table and in a picture, and what if the room were warmer."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hulls.models import Hull
from shop.models import Product, Pulse, Reading, Role, Shop, Zone
from stages.models import CoatOn
from stages.services import notes
from tests.factories import a_crew_member, a_shop, hand, product, station
from tests.stages.at_work import a_primed_hull, many_hulls

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)  # a Wednesday


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(a_crew_member())
    return client


def air(air_c: float, rh_pct: float = 50.0, *, days: int = 10) -> None:
    """The air of every zone over the last days, and nothing after now."""
    Reading.objects.all().delete()
    Reading.objects.bulk_create(
        Reading(zone=zone, at=NOON - timedelta(hours=n), air_c=air_c, rh_pct=rh_pct)
        for zone in Zone.objects.all()
        for n in range(24 * days)
    )
    Pulse.bump(air=True)


def a_coat(*, hours_ago: float = 4.0) -> tuple[Hull, CoatOn]:
    """A coat of primer: 3 h to tack-free, 16 h to all else at 23 °C, its window closed after 336 h."""
    hull = a_primed_hull("H-8", coat_at=NOON - timedelta(hours=hours_ago))
    return hull, CoatOn.objects.get(work__hull=hull)


def page(client: Client, address: str) -> str:
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def rows(html: str) -> list[str]:
    """The rows of the table of marks, in words."""
    table = html.split("<tbody>")[1].split("</tbody>")[0]
    return [words(row) for row in table.split("</tr>") if words(row)]


def test_at_the_label_s_own_condition_the_label_s_hours_come_true(crew: Client) -> None:
    a_shop()
    air(23.0)
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    assert "Tack-free since today 11:00." in words(html)
    assert "Dry to sand, recoat, cover and handle Thu 00:00, between" in words(html)
    assert rows(html)[0] == "Tack-free 3 h today 11:00 ✓"
    assert rows(html)[1].startswith("Dry to sand, recoat, cover and handle 16 h Thu 00:00 between")
    assert rows(html)[2] == "Recoat window closes 24 June"  # 336 h are 14 days
    assert "High-build primer, alkyd" in html


def test_ten_degrees_colder_it_takes_twice_as_long(crew: Client) -> None:
    a_shop()  # the primer's Q10 is 2
    air(13.0)
    _hull, coat = a_coat()
    assert "16 h Thu 16:00" in rows(page(crew, f"/hulls/H-8/coats/{coat.entry}/"))[1]  # 32 h after 08:00


def test_under_its_lowest_temperature_it_stands_still(crew: Client) -> None:
    a_shop()
    air(6.9)  # the primer's lowest is 7 °C
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    assert "stands still in this air" in words(html)
    assert rows(html)[1].endswith("not in this air")
    assert "url(#age-still)" in html


def test_what_if_the_room_were_at_23_degrees(crew: Client) -> None:
    a_shop()
    air(13.0)
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/?room=23&rh=50")
    # Half of four hours are behind it; the room comes to 23 °C within the first hour, straight: 14 h and a bit more.
    late = re.search(r"16 h Thu 16:00 .* Thu 02:(\d\d)$", rows(html)[1])
    assert late
    assert 5 <= int(late[1]) <= 25
    assert "At 23.0 °C and 50 %" in words(html)
    assert "picture__what-if" in html
    assert "As it is" in html


@pytest.mark.parametrize(
    ("query", "complaint"),
    [
        ("room=warm", "is not a temperature"),
        ("room=", "This field is required"),
        ("room=46", "No shop is kept at that"),
        ("room=-31", "No shop is kept at that"),
        ("room=20&rh=101", "Humidity runs from 0 to 100"),
        ("room=20&rh=damp", "Write the humidity in per cent"),
    ],
)
def test_a_room_that_cannot_be_is_refused_beside_its_field_and_the_coat_is_shown_as_it_is(
    crew: Client, query: str, complaint: str
) -> None:
    a_shop()
    air(20.0)
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/?{query}")
    assert complaint in html
    assert "picture__what-if" not in html


@pytest.mark.parametrize("query", ["room=45", "room=-30", "room=70F", "room=20&rh=0", "room=20&rh=100"])
def test_a_room_at_its_limits_is_shown(crew: Client, query: str) -> None:
    a_shop()
    air(20.0)
    _hull, coat = a_coat()
    assert "picture__what-if" in page(crew, f"/hulls/H-8/coats/{coat.entry}/?{query}")


def test_the_picture_tells_a_screen_reader_what_it_shows(crew: Client) -> None:
    a_shop()
    air(23.0)
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    assert 'role="img" aria-labelledby="age-title age-desc"' in html
    said = re.search(r'<desc id="age-desc">([^<]+)</desc>', html)
    assert said
    assert said[1].startswith("Tack-free since today 11:00. Dry to sand")


def test_hours_that_nobody_measured_are_said(crew: Client) -> None:
    a_shop()
    air(23.0)
    Reading.objects.filter(at__gt=NOON - timedelta(hours=20), at__lt=NOON - timedelta(hours=2)).delete()
    Pulse.bump(air=True)
    _hull, coat = a_coat(hours_ago=12.0)
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    assert "Nobody measured the air for 10 hours of it; that part is assumed." in html


def test_a_coat_that_was_moved_dries_in_both_zones(crew: Client) -> None:
    a_shop()
    air(23.0)
    yard = Zone.objects.get(name="Outdoors")
    Reading.objects.filter(zone=yard).update(air_c=13.0)
    Pulse.bump(air=True)
    hull, coat = a_coat(hours_ago=8.0)
    moved = notes.move_hull(hull_id=hull.pk, station=station("yard").pk, hand=hand(at=NOON - timedelta(hours=4)))
    assert moved.done
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    assert "16 h Thu 08:00" in rows(html)[1]  # 4 h at full speed, then 12 h of the label take 24 h from 08:00
    assert f"/air/{yard.pk}/" in html


def test_what_needs_no_time_to_dry_says_so(crew: Client) -> None:
    a_shop()
    _hull, coat = a_coat()
    Product.objects.filter(pk=coat.product_id).update(family="")
    Pulse.bump(setup=True)
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    assert "It needs no time to dry." in html
    assert '<svg class="picture"' not in html


def test_a_zone_that_was_never_read_is_assumed_throughout(crew: Client) -> None:
    a_shop()
    Reading.objects.all().delete()
    Pulse.bump(air=True)
    _hull, coat = a_coat()
    assert "Nobody measured the air for 4 hours of it" in page(crew, f"/hulls/H-8/coats/{coat.entry}/")


def test_a_shop_in_us_units_reads_fahrenheit(crew: Client) -> None:
    Shop.objects.filter(pk=a_shop().pk).update(units="us")
    air(23.0)
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/?room=77")
    assert "At 77 °F" in words(html)
    assert "73 °F and 50 %" in words(html)
    assert "Air, °F" in html


@pytest.mark.parametrize("address", ["/hulls/H-8/coats/999/", "/hulls/H-8/coats/1/", "/hulls/H-9/coats/1/"])
def test_a_line_that_put_on_no_coat_is_not_found(crew: Client, address: str) -> None:
    a_shop()
    a_coat()
    assert crew.get(address).status_code == 404


def test_only_reading_is_answered_and_only_to_those_with_a_log_in(client: Client) -> None:
    a_shop()
    _hull, coat = a_coat()
    address = f"/hulls/H-8/coats/{coat.entry}/"
    assert client.get(address).headers["Location"] == f"/login/?next={address}"
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert client.get(address).status_code == 200
    assert client.post(address).status_code == 405


@pytest.mark.parametrize("count", [12, 120])
def test_it_takes_the_same_queries_whatever_the_number_of_hulls(crew: Client, count: int) -> None:
    a_shop()
    many_hulls(count)
    Pulse.bump(setup=True)  # the stations got more places
    _hull, coat = a_coat()
    address = f"/hulls/H-8/coats/{coat.entry}/"
    crew.get(address)  # the set-up, the air and the route are read once
    with CaptureQueriesContext(connection) as queries:
        page(crew, address)
    assert [name for query in queries for name in re.findall(r'FROM "(\w+)"', query["sql"])[:1]] == [
        "shop_pulse",
        "django_session",
        "shop_crewmember",
        "stages_hullwork",
        "stages_stagestate",
        "stages_coaton",
    ]


def test_the_usual_product_s_page_is_a_tap_away(crew: Client) -> None:
    a_shop()
    _hull, coat = a_coat()
    assert f'href="/products/{product("primer").pk}/"' in page(crew, f"/hulls/H-8/coats/{coat.entry}/")


def test_the_coat_s_page_and_the_hull_s_sheet_name_the_same_moment(crew: Client) -> None:
    a_shop()
    Reading.objects.all().delete()
    Reading.objects.bulk_create(
        Reading(zone=zone, at=NOON - timedelta(hours=n), air_c=15.0 + 5.0 * ((n % 24) / 12 - 1) ** 2, rh_pct=60.0)
        for zone in Zone.objects.all()
        for n in range(24 * 12)
    )
    Pulse.bump(air=True)
    _hull, coat = a_coat()
    found = re.search(r"dry enough to be sanded (\w+ \d\d:\d\d)", words(page(crew, "/hulls/H-8/")))
    assert found
    assert f"16 h {found[1]} between" in rows(page(crew, f"/hulls/H-8/coats/{coat.entry}/"))[1]


def test_a_heated_room_is_expected_to_stay_as_it_is_set(crew: Client) -> None:
    a_shop()
    air(13.0)
    Zone.objects.filter(outdoors=False).update(set_c=23.0, set_rh_pct=50.0)
    Pulse.bump(setup=True)
    _hull, coat = a_coat()
    html = page(crew, f"/hulls/H-8/coats/{coat.entry}/")
    # 4 h at half speed are behind it, 14 h of the label ahead; the room comes to 23 °C within the first hour.
    assert re.search(r"16 h Thu 02:(0\d|1\d|2\d) between", rows(html)[1])

"""The page of one zone: its air in words, in a picture and by days; and the solvents of today."""

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hulls.sizes import outside_area_m2
from hulls.takeoff import film
from shop.models import Product, Pulse, Reading, Role, Shop, WeatherDay, Zone
from stages.engine import fumes
from stages.models import CoatOn
from tests.factories import a_crew_member, a_shop, product
from tests.stages.at_work import a_primed_hull, many_hulls

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)  # a Wednesday
ALKYD: dict[str, Any] = {  # stand-ins for a label and a data sheet
    "solids_pct": 50.0,
    "dry_film_um": 60.0,
    "solvent_g_l": 390.0,
    "solvent_density_kg_l": 0.78,
    "solvent_molar_g": 142.0,
    "solvent_lel_pct": 0.7,
    "solvent_source": "SDS",
}


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(a_crew_member())
    return client


def zone(outdoors: bool = False) -> Zone:
    return Zone.objects.get(outdoors=outdoors)


def air(*readings: tuple[float, float, float, float | None]) -> None:
    """Readings of every zone: hours from now, °C, %, surface °C."""
    Reading.objects.all().delete()
    Reading.objects.bulk_create(
        Reading(zone=row, at=NOON + timedelta(hours=hours), air_c=air_c, rh_pct=rh_pct, surface_c=surface_c)
        for row in Zone.objects.all()
        for hours, air_c, rh_pct, surface_c in readings
    )
    Pulse.bump(air=True)


def steady(air_c: float, rh_pct: float, surface_c: float | None = None) -> None:
    air(*((-float(n), air_c, rh_pct, surface_c) for n in range(24 * 8)))


def page(client: Client, row: Zone) -> str:
    response = client.get(f"/air/{row.pk}/")
    assert response.status_code == 200
    return response.content.decode()


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


# --- The air


def test_air_that_holds_lets_a_coat_on(crew: Client) -> None:
    a_shop()
    steady(20.0, 50.0)
    html = words(page(crew, zone()))
    assert "20.0 °C · 50 %" in html
    assert "Surface 10.7 °C over the dew point, steady" in html  # dew point 9.3 °C: ASHRAE tables
    assert "A coat may go on: the air holds now and through its first 4 hours." in html
    assert "Nothing keeps a coat off in the days ahead." in html


def test_the_published_case_of_a_surface_too_near_the_dew_point_is_refused(crew: Client) -> None:
    a_shop()
    steady(16.0, 71.0, 13.0)  # do not paint: the worked case of the dew-point rule
    html = words(page(crew, zone()))
    assert "No coat may go on: it is too near the dew point." in html


def test_air_that_gets_damp_within_the_first_hours_is_refused_with_its_reading_and_when_it_clears(
    crew: Client,
) -> None:
    # Every day straight from 20 °C, 50 % at 12:00 to 20 °C, 100 % at 18:00 and back at midnight.
    daily = {0: 50.0, 12: 50.0, 18: 100.0}
    a_shop()
    air(
        *(
            (float(hours), 20.0, daily.get((12 + hours) % 24, 50.0), None)
            for hours in range(-24 * 8, 1)
            if (12 + hours) % 24 in daily
        )
    )
    html = words(page(crew, zone()))
    # At 20 °C the dew point is 17 °C at 82.86 % (ASHRAE: 1937.9 Pa over 2338.8 Pa): at 15:56:36 and until 20:03:24.
    assert "No coat may go on: within its first hours, today 15:56, it gets too near the dew point" in html
    assert "It clears today 20:04." in html
    assert "A coat is kept off from today 15:56 to today 20:04." in html


def test_an_outdoor_zone_has_its_days_of_rain(crew: Client) -> None:
    a_shop()
    steady(12.0, 60.0)
    for back, dry in ((0, True), (1, False), (6, False)):
        WeatherDay.objects.create(zone=zone(outdoors=True), day=date(2026, 6, 10) - timedelta(days=back), dry=dry)
    html = page(crew, zone(outdoors=True))
    assert html.count("picture__day--dry") == 1
    assert html.count("picture__day--rain") == 1  # the other lies before the picture
    assert html.count('class="picture__day-word"') == 6
    assert "picture__day" not in page(crew, zone())


def test_the_table_has_the_days_of_the_picture(crew: Client) -> None:
    a_shop()
    steady(4.0, 50.0)  # too cold all day
    html = words(page(crew, zone()))
    assert "Fri 5 June 4.0 °C 50 to 50 %" in html
    assert re.search(r"Tue 9 June 4.0 °C 50 to 50 % [0-9.]+ °C 24 h", html)
    assert "Sat 13 June (expected)" in html


def test_the_picture_tells_a_screen_reader_what_it_shows(crew: Client) -> None:
    a_shop()
    steady(4.0, 50.0)
    html = page(crew, zone())
    assert 'role="img" aria-labelledby="air-title air-desc"' in html
    said = re.search(r'<desc id="air-desc">([^<]+)</desc>', html)
    assert said
    assert "A coat is kept off from today 12:00 to" in said[1]


def test_a_zone_that_was_never_read_says_so(crew: Client) -> None:
    a_shop()
    air()
    html = page(crew, zone())
    assert "Nobody has read its air yet." in html
    assert '<svg class="picture"' not in html


def test_a_shop_in_us_units_reads_fahrenheit(crew: Client) -> None:
    Shop.objects.filter(pk=a_shop().pk).update(units="us")
    steady(20.0, 50.0)
    html = words(page(crew, zone()))
    assert "68 °F · 50 %" in html
    assert "Surface 19.3 °F over the dew point" in html  # 10.7 K
    assert "at least 5.4 °F over the dew point" in html


# --- Solvents


def a_coat_today(tag: str = "H-8", *, hours_ago: float = 2.0, **sheet: Any) -> CoatOn:
    Product.objects.filter(pk=product("primer").pk).update(**sheet)
    Pulse.bump(setup=True)
    hull = a_primed_hull(tag, coat_at=NOON - timedelta(hours=hours_ago))
    return CoatOn.objects.get(work__hull=hull)


def test_the_vapour_of_today_s_pots_is_reckoned_against_the_explosive_limit(crew: Client) -> None:
    a_shop()
    steady(20.0, 50.0)
    Zone.objects.filter(pk=zone().pk).update(volume_m3=120.0)
    coat = a_coat_today(**ALKYD)
    html = words(page(crew, zone()))
    # By hand: half of the pot is solvent (390 g/L at 0.78 kg/L); 24.06 L/mol at 20 °C.
    litres = outside_area_m2(coat.work.hull) * 60.0 / 1000.0 / 0.5 / (1.0 - film.LOSS_BRUSH)
    vapour_m3 = litres * 390.0 / 142.0 * 24.06 / 1000.0
    share = 100.0 * vapour_m3 / 120.0 / 0.007
    found = re.search(r"can make ([0-9.]+) m³ of vapour: (\d+) % of the lower explosive limit", html)
    assert found
    assert float(found[1]) == pytest.approx(vapour_m3, abs=0.001)
    assert int(found[2]) == pytest.approx(share, abs=1)
    assert f"about {1000 * litres:.0f} mL, by its film" in html
    assert "General information only. Local codes, the SDS and licensed professionals govern." in html
    assert fumes.LEL_SHARE_LIMIT == 0.10


def test_without_the_zone_s_volume_it_says_what_is_missing(crew: Client) -> None:
    a_shop()
    a_coat_today(**ALKYD)
    html = words(page(crew, zone()))
    assert "The volume of this zone is not on record" in html
    assert "explosive limit" not in html


def test_a_product_whose_solvent_is_not_on_record_is_listed_and_not_counted(crew: Client) -> None:
    a_shop()
    Zone.objects.filter(pk=zone().pk).update(volume_m3=120.0)
    a_coat_today(**{**ALKYD, "solvent_g_l": None})
    html = words(page(crew, zone()))
    assert "not on record; see the SDS" in html
    assert "of the lower explosive limit" not in html


def test_a_share_that_leaves_pots_out_says_that_it_is_higher(crew: Client) -> None:
    a_shop()
    Zone.objects.filter(pk=zone().pk).update(volume_m3=120.0)
    coat = a_coat_today(**ALKYD)
    other = a_primed_hull("H-9", coat_at=NOON - timedelta(hours=1))
    assert "the true share is higher" not in words(page(crew, zone()))
    CoatOn.objects.filter(work__hull=other).update(product=product("sealer"))  # its solvent is not on record
    html = words(page(crew, zone()))
    assert "of the lower explosive limit" in html
    assert "the true share is higher" in html
    Product.objects.filter(pk=product("sealer").pk).update(solvent_g_l=0)
    assert "the true share is higher" not in words(page(crew, zone()))
    CoatOn.objects.filter(pk=coat.pk).delete()
    Product.objects.filter(pk=product("sealer").pk).update(solvent_g_l=None)
    assert "cannot be reckoned" in words(page(crew, zone()))


def test_outdoors_no_share_is_reckoned_unless_the_space_has_a_volume(crew: Client) -> None:
    a_shop()
    coat = a_coat_today(**ALKYD)
    yard = zone(outdoors=True)
    CoatOn.objects.filter(pk=coat.pk).update(zone=yard)
    html = words(page(crew, yard))
    assert "Outdoors no share of the explosive limit can be reckoned." in html
    assert "General information only. Local codes, the SDS and licensed professionals govern." in html
    assert "% of the lower explosive limit" not in html
    Zone.objects.filter(pk=yard.pk).update(volume_m3=120.0)  # under a tent
    assert "% of the lower explosive limit" in words(page(crew, yard))


def test_litres_that_nobody_knows_are_not_guessed(crew: Client) -> None:
    a_shop()
    Zone.objects.filter(pk=zone().pk).update(volume_m3=120.0)
    a_coat_today(**{**ALKYD, "solids_pct": None})
    assert "not recorded not counted" in words(page(crew, zone()))


@pytest.mark.parametrize(("hours_ago", "seen"), [(11.9, True), (12.1, False)])
def test_only_today_s_pots_count(crew: Client, hours_ago: float, seen: bool) -> None:
    a_shop()
    a_coat_today(hours_ago=hours_ago)
    assert ("H-8" in page(crew, zone())) is seen


# --- Who, how, and what it costs


def test_an_unknown_zone_is_not_found(crew: Client) -> None:
    a_shop()
    assert crew.get("/air/999/").status_code == 404


def test_only_reading_is_answered_and_only_to_those_with_a_log_in(client: Client) -> None:
    a_shop()
    address = f"/air/{zone().pk}/"
    assert client.get(address).headers["Location"] == f"/login/?next={address}"
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert client.get(address).status_code == 200
    assert client.post(address).status_code == 405


@pytest.mark.parametrize("count", [12, 120])
def test_it_takes_the_same_queries_whatever_the_number_of_hulls(crew: Client, count: int) -> None:
    a_shop()
    many_hulls(count)
    indoors = zone()
    page(crew, indoors)  # the set-up and the air are read once
    with CaptureQueriesContext(connection) as queries:
        page(crew, indoors)
    assert [name for query in queries for name in re.findall(r'FROM "(\w+)"', query["sql"])[:1]] == [
        "shop_pulse",
        "django_session",
        "shop_crewmember",
        "shop_zone",
        "stages_entry",
        "stages_coaton",
    ]

"""The air and the weather: what was read last, and how the crew records more."""

import re
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, timedelta
from html import unescape
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Pulse, Reading, Role, Sensor, Shop, Station, WeatherDay, Zone
from shop.services.sensors import add_sensor
from stages.queries.air import zone_airs
from stages.queries.world import around
from tests.factories import a_crew_member, the_shop_owner
from tests.stages.test_floor import HTMX, poll_of, shown, tables, words_of

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def noon() -> Iterator[None]:
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def crew(client: Client) -> Client:
    Shop.objects.create(pk=1, name="The test shop", time_zone="Europe/Helsinki")  # three hours ahead in June
    Zone.objects.create(name="Hall")
    Zone.objects.create(name="Yard", outdoors=True)
    client.force_login(a_crew_member())
    return client


def zone(name: str = "Hall") -> Zone:
    return Zone.objects.get(name=name)


def typed(**changes: object) -> dict[str, object]:
    """A form as somebody fills it in."""
    return {"zone": zone().pk, "at": "2026-06-10T14:30", "air_c": "18", "rh_pct": "55"} | changes


def errors_of(html: str) -> dict[str, str]:
    """By field, what the page says is wrong with it."""
    found = re.findall(r'<ul class="errorlist" id="id_(\w+)_error">(.*?)</ul>', html, re.DOTALL)
    return {name: words_of(unescape(text)) for name, text in found}


# --- What it shows


def test_every_zone_shows_what_was_read_last_and_when(crew: Client) -> None:
    by = a_crew_member()
    for hours in range(1, 9):
        Reading.objects.create(
            zone=zone(), at=NOON - timedelta(hours=hours), air_c=10.0 + hours, rh_pct=50.0, by=by, surface_c=9.5
        )
    html = shown(crew, "/air/")
    hall, yard = html.split('<section class="zone"')[1:]
    assert "Hall 11.0 °C · 50 % today 14:00 · dew falls at 1.0 °C" in words_of(hall)  # 0.985: psychrolib 2.5
    rows = re.findall(r"<tr>.*?</tr>", hall, re.DOTALL)[1:]
    assert len(rows) == 6
    assert words_of(rows[5]) == "today 09:00 16.0 °C 50 % 9.5 °C hand"
    assert "No reading in the last 30 days." in yard


def test_readings_are_shown_in_the_shops_units(crew: Client) -> None:
    Shop.objects.update(units="us")
    Pulse.bump(setup=True)
    Reading.objects.create(zone=zone(), at=NOON, air_c=20.0, rh_pct=50.0)
    assert "68 °F" in shown(crew, "/air/")


def test_a_reading_from_long_ago_is_not_taken_for_todays(crew: Client) -> None:
    Reading.objects.create(zone=zone(), at=NOON - timedelta(days=31), air_c=20.0, rh_pct=50.0)
    assert shown(crew, "/air/").count("No reading in the last 30 days.") == 2


def test_the_last_fourteen_days_say_dry_rain_or_nothing(crew: Client) -> None:
    WeatherDay.objects.create(zone=zone("Yard"), day=date(2026, 6, 10), dry=True)
    WeatherDay.objects.create(zone=zone("Yard"), day=date(2026, 5, 28), dry=False)
    WeatherDay.objects.create(zone=zone("Yard"), day=date(2026, 5, 27), dry=True)
    html = shown(crew, "/air/")
    days = re.findall(r'name="day" value="([^"]+)"', html)
    assert (len(days), days[0], days[-1]) == (14, "2026-06-10", "2026-05-28")
    pressed = re.findall(r'id="((?:dry|rain)-[^"]+)" aria-pressed="true"', html)
    pk = zone("Yard").pk
    assert pressed == [f"dry-{pk}-2026-06-10", f"rain-{pk}-2026-05-28"]


def test_it_takes_the_same_queries_whatever_was_read(crew: Client) -> None:
    counts = []
    for more in (1, 30):
        for n in range(more):
            zone_n = Zone.objects.create(name=f"Zone {more}-{n}", outdoors=True)
            Reading.objects.create(zone=zone_n, at=NOON, air_c=20.0, rh_pct=50.0)
        shown(crew, "/air/")  # the shop is read once
        with CaptureQueriesContext(connection) as queries:
            shown(crew, "/air/")
        counts.append(tables(queries))
    assert counts[0] == counts[1]
    assert counts[1] == [
        "shop_pulse",
        "django_session",
        "shop_crewmember",
        "shop_reading",  # since when its last readings are shown, within the zones' own query
        "shop_reading",
        "shop_reading",  # how many of each sensor wait for a decision
        "shop_sensor",
        "shop_weatherday",
        "shop_zone",  # the outdoor ones
        "shop_zone",  # to choose from in the form, which Django asks for twice
        "shop_zone",
    ]


def a_sensor(name: str, heard: timedelta | None) -> Sensor:
    """A sensor that sends every five minutes, heard so long ago."""
    made, _token = add_sensor(name=name, zone=zone(), every_min=5, sends=True, by=None)
    heard_at = NOON - heard if heard is not None else None
    Sensor.objects.filter(pk=made.pk).update(added_at=NOON - timedelta(days=30), last_heard_at=heard_at)
    return made


def test_a_silent_sensor_is_named_in_its_zone(crew: Client) -> None:
    for name, heard in (("North wall", timedelta(minutes=4)), ("Stove", timedelta(hours=30)), ("Roof", None)):
        a_sensor(name, heard)
    hall, yard = map(words_of, shown(crew, "/air/").split('<section class="zone"')[1:])
    assert "Stove is silent: last heard yesterday 09:00." in hall
    assert "Roof was never heard." in hall
    assert "North wall" not in hall
    assert "silent" not in yard


def read(*airs: tuple[float, float, float]) -> None:
    """Readings of the hall: hours before now, °C, %."""
    Reading.objects.bulk_create(
        Reading(zone=zone(), at=NOON - timedelta(hours=ago), air_c=air_c, rh_pct=rh_pct) for ago, air_c, rh_pct in airs
    )
    Pulse.bump(air=True)


@pytest.mark.parametrize(
    ("airs", "margin", "says"),
    [
        # Dew points by psychrolib 2.5: 9.26 °C at 20 °C and 50 %, 12.00 °C at 20 °C and 60 %.
        ([(3, 20, 60), (0, 20, 50)], "Surface 10.7 °C over the dew point, rising 0.9 °C an hour.", "A coat may go on:"),
        ([(3, 20, 50), (0, 20, 60)], "Surface 8.0 °C over the dew point, falling 0.9 °C an hour.", "A coat may go on:"),
        ([(3, 20, 50), (0, 20, 50)], "Surface 10.7 °C over the dew point, steady.", "A coat may go on:"),
        # 3 °C and 90 %: under the usual 5 °C, over 85 %, and 1.5 °C over the dew point.
        ([(3, 3, 90), (0, 3, 90)], "Surface 1.5 °C", "No coat may go on: it is too cold, too damp, too near the dew"),
    ],
)
def test_each_zone_says_how_far_from_dew_it_is_and_whether_a_coat_may_go_on(
    crew: Client, airs: list[tuple[float, float, float]], margin: str, says: str
) -> None:
    read(*airs)
    hall = words_of(shown(crew, "/air/").split('<section class="zone"')[1])
    assert margin in hall
    assert says in hall


def test_air_that_nobody_read_for_hours_is_not_judged(crew: Client) -> None:
    read((20, 20, 50))
    hall = words_of(shown(crew, "/air/").split('<section class="zone"')[1])
    assert "Nobody has read the air here for hours." in hall
    assert "coat" not in hall


def test_the_ways_from_the_air_lead_to_each_zone_and_to_a_loggers_file(client: Client, crew: Client) -> None:
    read((0, 20, 50))
    html = shown(crew, "/air/")
    assert html.count(f'href="/air/{zone().pk}/"') == 2
    assert 'href="/readings/import/"' in html
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert "/readings/import/" not in shown(client, "/air/")


def test_the_last_readings_are_found_by_the_index_however_many_there_are(crew: Client) -> None:
    for other in ("Loft", "Shed"):
        Zone.objects.create(name=other)
    Reading.objects.bulk_create(
        Reading(zone=row, at=NOON - timedelta(minutes=5 * n), air_c=20.0, rh_pct=50.0)
        for row in Zone.objects.all()
        for n in range(300)
    )
    with CaptureQueriesContext(connection) as queries:
        airs = zone_airs(shop=around(taken={}), now=NOON)
    assert [len(air.readings) for air in airs] == [6] * 4
    joined = 'FROM "shop_reading" LEFT OUTER JOIN "shop_crewmember"'
    of_readings = [query["sql"] for query in queries if joined in query["sql"]]
    assert len(of_readings) == 1
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN QUERY PLAN {of_readings[0]}")
        plan = " ".join(row[3] for row in cursor.fetchall())
    assert "SCAN shop_reading" not in plan
    assert "air_of_a_zone (zone_id=? AND at>?)" in plan


# --- A reading


def test_a_reading_is_recorded_once_however_often_it_is_sent(crew: Client) -> None:
    for _ in range(2):
        response = crew.post("/air/", typed(air_c="64 °F", rh_pct="55.5 %", surface_c="12,5 °C"), follow=True)
        assert response.redirect_chain == [("/air/", 302)]
        assert "The air of Hall is recorded." in response.content.decode()
    reading = Reading.objects.get()
    assert reading.at == datetime(2026, 6, 10, 11, 30, tzinfo=UTC)  # half past two by the shop's clock
    assert reading.air_c == pytest.approx((64 - 32) * 5 / 9)
    assert (reading.rh_pct, reading.surface_c, reading.by) == (55.5, 12.5, a_crew_member())


def test_a_bare_number_is_in_the_shops_units(crew: Client) -> None:
    Shop.objects.update(units="us")
    Pulse.bump(setup=True)
    crew.post("/air/", typed(air_c="68"))
    assert Reading.objects.get().air_c == pytest.approx(20.0)


def test_the_same_moment_again_corrects_the_reading(crew: Client) -> None:
    crew.post("/air/", typed())
    crew.post("/air/", typed(air_c="19"))
    assert Reading.objects.get().air_c == 19.0


def test_the_floor_shows_a_reading_at_once(crew: Client) -> None:
    Station.objects.create(name="rack", kind="rack", zone=zone(), places=1)
    html = shown(crew)
    assert "18.0 °C" not in html
    crew.post("/air/", typed())
    assert "18.0 °C · 55 %" in crew.get(poll_of(html), headers=HTMX).content.decode()


def test_the_form_offers_this_minute_by_the_shops_clock(crew: Client) -> None:
    assert 'value="2026-06-10T15:00"' in shown(crew, "/air/")


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"zone": "999"}, "zone", "Select a valid choice."),
        ({"zone": ""}, "zone", "This field is required."),
        ({"zone": "x"}, "zone", "Select a valid choice."),
        ({"at": ""}, "at", "This field is required."),
        ({"at": "soon"}, "at", "Enter a valid date/time."),
        ({"at": "2026-06-10T15:06"}, "at", "That time has not come yet."),
        ({"at": "2025-06-10T14:59"}, "at", "That is more than a year ago."),
        ({"at": "0001-01-01T00:00"}, "at", ""),
        ({"at": "9999-12-31T23:59"}, "at", ""),
        ({"air_c": ""}, "air_c", "This field is required."),
        ({"air_c": "warm"}, "air_c", "is not a temperature."),
        ({"air_c": "nan"}, "air_c", "is not a temperature."),
        ({"air_c": "inf"}, "air_c", "is not a temperature."),
        ({"air_c": "50.1"}, "air_c", "between -40 and 50 °C."),
        ({"air_c": "-40.1"}, "air_c", "between -40 and 50 °C."),
        ({"air_c": "-300 °C"}, "air_c", "colder than absolute zero."),
        ({"air_c": "1" * 31}, "air_c", "at most 30 characters"),
        ({"air_c": "<script>alert(1)</script>"}, "air_c", "is not a temperature."),
        ({"air_c": "1\x008"}, "air_c", ""),
        ({"rh_pct": ""}, "rh_pct", "This field is required."),
        ({"rh_pct": "130 %"}, "rh_pct", "Humidity runs from 0 to 100 %."),
        ({"rh_pct": "-1"}, "rh_pct", "Humidity runs from 0 to 100 %."),
        ({"rh_pct": "100.1"}, "rh_pct", "Humidity runs from 0 to 100 %."),
        ({"rh_pct": "nan"}, "rh_pct", "like 55 %."),
        ({"rh_pct": "inf"}, "rh_pct", "like 55 %."),
        ({"rh_pct": "1e2"}, "rh_pct", "like 55 %."),
        ({"rh_pct": "damp"}, "rh_pct", "like 55 %."),
        ({"surface_c": "70.1"}, "surface_c", "between -40 and 70 °C."),
        ({"surface_c": "cold"}, "surface_c", "is not a temperature."),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field_and_stays_typed(
    crew: Client, changes: dict[str, str], field: str, words: str
) -> None:
    response = crew.post("/air/", typed(surface_c="11 °C") | changes)
    html = response.content.decode()
    assert response.status_code == 422
    assert set(errors_of(html)) == {field}
    assert words in errors_of(html)[field]
    kept = typed(surface_c="11 °C") | changes
    values = {name: unescape(value) for name, value in re.findall(r'<input[^>]*? name="(\w+)" value="([^"]*)"', html)}
    for name in ("at", "air_c", "rh_pct", "surface_c"):
        assert values.get(name, "") == kept[name]
    assert "<script>alert" not in html
    assert not Reading.objects.exists()


def test_all_that_is_wrong_is_said_at_once(crew: Client) -> None:
    html = crew.post("/air/", typed(at="soon", air_c="warm", rh_pct="130 %", surface_c="cold")).content.decode()
    assert set(errors_of(html)) == {"at", "air_c", "rh_pct", "surface_c"}


@pytest.mark.parametrize(
    "changes",
    [
        {"at": "2026-06-10T15:05"},  # a phone's clock may be five minutes fast
        {"at": "2025-06-10T15:00"},
        {"air_c": "50"},
        {"air_c": "-40"},
        {"rh_pct": "0"},
        {"rh_pct": "100"},
        {"surface_c": "70"},
        {"surface_c": ""},
    ],
)
def test_what_just_can_be_is_recorded(crew: Client, changes: dict[str, str]) -> None:
    assert crew.post("/air/", typed() | changes).status_code == 302
    assert Reading.objects.count() == 1


def test_an_hour_that_the_clocks_leap_over_is_refused(crew: Client) -> None:
    with time_machine.travel(datetime(2026, 4, 1, tzinfo=UTC), tick=False):  # Helsinki leapt from 3 to 4 on 29 March
        html = crew.post("/air/", typed(at="2026-03-29T03:30")).content.decode()
    assert "couldn’t be interpreted" in errors_of(html)["at"]


# --- A day


def post_day(
    client: Client,
    day: str = "2026-06-09",
    dry: str = "yes",
    name: str = "Yard",
    headers: Mapping[str, str] | None = None,
) -> Any:
    values = {"zone": zone(name).pk if name else "999", "day": day, "dry": dry}
    return client.post("/air/weather/", values, headers=headers)


def test_a_day_is_recorded_once_however_often_it_is_sent(crew: Client) -> None:
    for _ in range(2):
        assert post_day(crew).headers["Location"] == "/air/"
    day = WeatherDay.objects.get()
    assert (day.zone.name, day.day, day.dry) == ("Yard", date(2026, 6, 9), True)


def test_the_other_word_corrects_a_day(crew: Client) -> None:
    post_day(crew)
    post_day(crew, dry="no")
    assert not WeatherDay.objects.get().dry


def test_with_htmx_the_days_alone_come_back(crew: Client) -> None:
    response = post_day(crew, headers=HTMX)
    html = response.content.decode()
    assert response.status_code == 200
    assert html.lstrip().startswith('<div id="weather">')
    assert f'id="dry-{zone("Yard").pk}-2026-06-09" aria-pressed="true"' in html


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"day": "2026-06-11"}, "That day has not come yet."),
        ({"day": "never"}, "Enter a valid date."),
        ({"day": ""}, "This field is required."),
        ({"dry": "maybe"}, "Select a valid choice."),
        ({"dry": ""}, "This field is required."),
        ({"name": "Hall"}, "Select a valid choice."),
        ({"name": ""}, "Select a valid choice."),
    ],
)
def test_a_day_that_cannot_be_is_refused(crew: Client, values: dict[str, str], words: str) -> None:
    for headers in (None, HTMX):
        response = post_day(crew, **values, headers=headers)
        assert response.status_code == 422
        assert words in response.content.decode()
    assert not WeatherDay.objects.exists()


def test_today_is_the_shops_today(crew: Client) -> None:
    with time_machine.travel(datetime(2026, 6, 10, 21, 30, tzinfo=UTC), tick=False):  # half past midnight there
        assert post_day(crew, day="2026-06-11").status_code == 302


# --- Who may


def test_a_wall_screen_may_look_but_not_record(client: Client, crew: Client) -> None:
    client.force_login(a_crew_member("wall", Role.LOOK))
    WeatherDay.objects.create(zone=zone("Yard"), day=date(2026, 6, 9), dry=False)
    html = shown(client, "/air/")
    assert "Record a reading" not in html
    assert "Tue 9 June rain" in words_of(html)
    assert "<button" not in html[html.index("<main") :]
    assert client.post("/air/", typed()).status_code == 403
    assert post_day(client).status_code == 403
    assert (Reading.objects.count(), WeatherDay.objects.count()) == (0, 1)


def test_the_shops_owner_may_record(client: Client, crew: Client) -> None:
    client.force_login(the_shop_owner())
    assert client.post("/air/", typed()).status_code == 302


def test_whoever_is_not_logged_in_is_sent_to_the_log_in(crew: Client) -> None:
    stranger = Client()
    assert stranger.get("/air/").headers["Location"] == "/login/?next=/air/"
    assert stranger.post("/air/").headers["Location"] == "/login/?next=/air/"
    assert stranger.post("/air/", typed()).status_code == 401  # the log-in page itself, which keeps what was typed
    assert post_day(stranger).status_code == 401
    assert (Reading.objects.count(), WeatherDay.objects.count()) == (0, 0)


def test_only_the_right_methods_are_answered(crew: Client) -> None:
    assert crew.put("/air/").status_code == 405
    assert crew.delete("/air/").status_code == 405
    assert crew.get("/air/weather/").status_code == 405


def test_a_post_from_another_site_is_refused(crew: Client) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(a_crew_member())
    assert strict.post("/air/", typed()).status_code == 403
    assert not Reading.objects.exists()

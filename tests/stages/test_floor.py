"""The floor: what it shows, that it stays fresh without reloading, and what it costs."""

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
import time_machine
from django.contrib.staticfiles import finders
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from time_machine import Traveller

from shop.models import Pulse, Reading, Role, Station, Zone
from stages.queries.floor import PLACES_A_PAGE, PLACES_SHOWN
from stages.services import bench, notes
from tests.factories import a_crew_member, a_hull, a_shop, hand, station
from tests.stages.at_work import a_hull_at, a_primed_hull, many_hulls

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)  # a Wednesday
HTMX = {"HX-Request": "true"}


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(a_crew_member())
    return client


@pytest.fixture
def clock() -> Iterator[Traveller]:
    with time_machine.travel(NOON, tick=False) as moved:
        yield moved


def poll_of(html: str) -> str:
    """The address that the floor on a page polls."""
    found = re.search(r'id="floor" hx-get="([^"]+)" hx-trigger="every 5s" hx-swap="outerHTML"', html)
    assert found, "the floor does not poll"
    return found[1].replace("&amp;", "&")


def shown(client: Client, address: str = "/") -> str:
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def place_of(html: str, tag: str) -> str:
    """The one place on which a hull stands."""
    places = [part.split("</li>")[0] for part in html.split('<li class="place">') if f'id="hull-{tag}"' in part]
    assert len(places) == 1
    return places[0]


def station_of(html: str, name: str) -> str:
    """The one row of a station."""
    rows = [row for row in html.split('<li class="station">') if f"<h2>{name}</h2>" in row]
    assert len(rows) == 1
    return rows[0]


def tables(queries: CaptureQueriesContext) -> list[str]:
    """The table that each query reads first."""
    return [name for query in queries for name in re.findall(r'FROM "(\w+)"', query["sql"])[:1]]


def words_of(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def body_of(name: str) -> bytes:
    """A static file."""
    found = finders.find(name)
    assert found, name
    return Path(found).read_bytes()


# --- What it shows


def test_every_station_is_there_with_its_air_and_its_free_places(crew: Client) -> None:
    a_shop(places=2)
    for tag, kind in (("H-1", "wood"), ("H-2", "wood"), ("H-3", "canvas")):
        a_hull_at(kind, tag)
    html = shown(crew)
    assert words_of(station_of(html, "wood station")).startswith("wood station 23.0 °C · 50 % full")
    assert "1 of 2 free" in words_of(station_of(html, "canvas station"))
    trim = station_of(html, "trim station")
    assert "2 of 2 free" in words_of(trim)
    assert trim.count('<p class="free">free</p>') == 2


def test_a_shop_in_us_units_reads_its_air_in_fahrenheit(crew: Client) -> None:
    shop = a_shop()
    shop.units = "us"
    shop.save()
    assert "73 °F · 50 %" in shown(crew)  # 23 °C = 73.4 °F


def test_an_old_reading_says_when_it_was_taken(crew: Client, clock: Traveller) -> None:
    a_shop()
    zone = Zone.objects.create(name="Loft")
    Station.objects.create(name="loft rack", kind="rack", zone=zone, places=1, position=20)
    reading = Reading.objects.create(zone=zone, at=NOON - timedelta(hours=6), air_c=18.0, rh_pct=40.0)
    Pulse.bump(air=True)
    assert "18.0 °C · 40 % 1 of 1 free" in words_of(station_of(shown(crew), "loft rack"))
    reading.at -= timedelta(minutes=1)
    reading.save()
    Pulse.bump(air=True)
    assert "18.0 °C · 40 % · today 05:59 1 of 1 free" in words_of(station_of(shown(crew), "loft rack"))


def test_a_hull_that_hands_can_work_on_says_now_and_its_hours(crew: Client) -> None:
    a_shop()
    a_hull_at("rack", "H-7")
    place = place_of(shown(crew), "H-7")
    assert words_of(place) == "H-7 Survey and photos now · 1.5 h"
    assert 'class="says now"' in place
    assert 'href="/hulls/H-7/"' in place
    assert 'aria-label="H-7, Survey and photos, now · 1.5 h"' in place


def test_a_drying_hull_shows_its_ring_and_when_it_is_dry(crew: Client, clock: Traveller) -> None:
    a_shop()
    a_primed_hull("H-8", coat_at=NOON - timedelta(hours=8, minutes=10))
    place = place_of(shown(crew), "H-8")
    assert words_of(place) == "H-8 Primer drying, coat 1 today 19:50"  # 16 h to sand at 23 °C: the label's own hours
    assert 'stroke-dasharray="50 100"' in place
    assert 'aria-label="50 % of the way"' in place
    assert 'class="says now"' not in place
    assert "#dde0dc" in place  # primer


def test_a_dry_hull_asks_for_the_sandpaper_and_its_ring_is_full(crew: Client, clock: Traveller) -> None:
    a_shop()
    a_primed_hull("H-8", coat_at=NOON - timedelta(hours=17))
    place = place_of(shown(crew), "H-8")
    assert words_of(place).startswith("H-8 Prime: sand before coat 2 of 2 now")
    assert 'class="tick"' in place


def test_a_hull_past_its_promise_says_so(crew: Client, clock: Traveller) -> None:
    a_shop()
    a_hull_at("rack", "H-7", promised_on=date(2026, 6, 9))
    a_hull_at("rack", "H-8", promised_on=date(2026, 6, 10))
    html = shown(crew)
    assert 'aria-label="H-7, Survey and photos, 1 day late, now · 1.5 h"' in html
    assert "1 day late" in words_of(place_of(html, "H-7"))
    assert "late" not in words_of(place_of(html, "H-8"))


def test_a_hull_that_waits_says_for_what(crew: Client) -> None:
    a_shop(places=1)
    a_hull_at("strip", "H-1")
    hull = a_hull_at("rack", "H-2")
    for key in ("survey", "estimate"):
        assert bench.start_stage(hull_id=hull.pk, stage=key, hand=hand()).done
        assert bench.finish_stage(hull_id=hull.pk, stage=key, hand=hand()).done
    assert words_of(place_of(shown(crew), "H-2")) == "H-2 Waits for a place: strip station"


def test_a_hull_that_just_came_in_stands_in_a_row_of_its_own(crew: Client) -> None:
    a_shop()
    assert "Not on the floor yet" not in shown(crew)
    a_hull("H-9")
    row = station_of(shown(crew), "Not on the floor yet")
    assert "1 hull" in words_of(row)
    assert 'id="hull-H-9"' in row


def test_a_hull_that_was_handed_over_is_gone(crew: Client) -> None:
    a_shop()
    hull = a_hull("H-9")
    hull.work.handed_over_at = timezone.now()
    hull.work.save()
    assert "H-9" not in shown(crew)


def test_hulls_are_reached_by_the_keyboard_in_the_order_in_which_they_stand(crew: Client) -> None:
    a_shop()
    for tag, kind in (("A-3", "trim"), ("A-2", "rack"), ("A-1", "wood"), ("A-4", "rack")):
        a_hull_at(kind, tag)
    html = shown(crew)
    assert re.findall(r'id="hull-([^"]+)"', html) == ["A-2", "A-4", "A-1", "A-3"]
    assert "tabindex" not in html[html.index('id="floor"') :]


def test_names_are_shown_as_they_are_written(crew: Client) -> None:
    a_shop()
    Station.objects.filter(kind="trim").update(name="<script>alert(1)</script>")
    Pulse.bump(setup=True)
    html = shown(crew)
    assert "&lt;script&gt;alert(1)" in html
    assert "<script>alert" not in html


def test_a_shop_without_stations_is_told_what_to_do(crew: Client) -> None:
    assert "no stations yet" in shown(crew)


# --- Many places


def test_a_long_station_shows_its_first_places_and_leads_to_the_rest(crew: Client) -> None:
    a_shop(places=PLACES_SHOWN)
    assert "more" not in words_of(station_of(shown(crew), "wood station"))
    wood = station("wood")
    wood.places = PLACES_A_PAGE + 1
    wood.save()
    hull = a_hull("H-5")
    notes.move_hull(hull_id=hull.pk, station=wood.pk, hand=hand(), place=PLACES_A_PAGE + 1)
    html = shown(crew)
    row = next(part for part in html.split('<li class="station">') if ">wood station</a>" in part)
    assert row.count('<li class="place">') == PLACES_SHOWN
    assert f'<a href="?station={wood.pk}">{PLACES_A_PAGE + 1 - PLACES_SHOWN} more places</a>' in row
    assert "H-5" not in html

    first = shown(crew, f"/?station={wood.pk}")
    assert first.count('<li class="place">') == PLACES_A_PAGE
    assert "H-5" not in first
    assert "rack station" not in first
    assert f'href="?station={wood.pk}&amp;page=2"' in first
    second = shown(crew, f"/?station={wood.pk}&page=2")
    assert second.count('<li class="place">') == 1
    assert 'id="hull-H-5"' in second
    assert parse_qs(urlsplit(poll_of(second)).query)["page"] == ["2"]
    assert 'id="hull-H-5"' in shown(crew, f"/?station={wood.pk}&page=99")  # the last page


def test_the_page_of_hulls_without_a_place_stays_when_the_last_one_got_one(crew: Client) -> None:
    a_shop()
    assert "0 hulls" in shown(crew, "/?station=0")
    assert "station=0" in poll_of(shown(crew, "/?station=0"))


@pytest.mark.parametrize("station_id", ["999", "x", "-1", "1" * 40])
def test_an_unknown_station_is_not_found(crew: Client, station_id: str) -> None:
    a_shop()
    assert crew.get("/", {"station": station_id}).status_code == 404
    assert crew.get("/floor/part/", {"station": station_id}, headers=HTMX).status_code == 404


# --- Who may look


def test_only_reading_is_answered(crew: Client) -> None:
    for address in ("/", "/floor/part/"):
        assert crew.post(address).status_code == 405
        assert crew.head(address, headers=HTMX).status_code == 200


def test_whoever_is_not_logged_in_is_sent_to_the_log_in(client: Client) -> None:
    assert client.get("/").headers["Location"] == "/login/?next=/"


def test_a_wall_screen_may_look(client: Client) -> None:
    a_shop()
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert "wood station" in shown(client)


def test_a_floor_is_never_kept_by_a_cache(crew: Client) -> None:
    a_shop()
    for address in ("/", poll_of(shown(crew))):
        assert "no-store" in crew.get(address, headers=HTMX).headers["Cache-Control"]


# --- Fresh without reloading


def test_an_unchanged_floor_answers_204_as_often_as_it_is_asked(crew: Client) -> None:
    a_shop()
    a_hull_at("wood")
    poll = poll_of(shown(crew))
    for _ in range(2):
        response = crew.get(poll, headers=HTMX)
        assert (response.status_code, response.content) == (204, b"")


def test_an_unchanged_poll_reads_the_session_and_the_stamps_alone(crew: Client) -> None:
    a_shop()
    a_hull_at("wood")
    poll = poll_of(shown(crew))
    with CaptureQueriesContext(connection) as queries:
        assert crew.get(poll, headers=HTMX).status_code == 204
    assert tables(queries) == ["shop_pulse", "django_session"]


def test_after_a_write_the_part_comes_with_the_change_and_its_new_version(crew: Client) -> None:
    a_shop()
    hull = a_hull_at("wood")
    poll = poll_of(shown(crew))
    notes.move_hull(hull_id=hull.pk, station=station("trim").pk, hand=hand())
    response = crew.get(poll, headers=HTMX)
    html = response.content.decode()
    assert response.status_code == 200
    assert html.lstrip().startswith('<div id="floor"')
    assert 'id="hull-H-1"' in station_of(html, "trim station")
    assert poll_of(html) != poll
    assert crew.get(poll_of(html), headers=HTMX).status_code == 204


def test_the_page_of_one_station_polls_for_itself(crew: Client) -> None:
    a_shop()
    wood = station("wood")
    poll = poll_of(shown(crew, f"/?station={wood.pk}"))
    assert crew.get(poll, headers=HTMX).status_code == 204
    hull = a_hull("H-2")
    notes.move_hull(hull_id=hull.pk, station=wood.pk, hand=hand())
    html = crew.get(poll, headers=HTMX).content.decode()
    assert 'id="hull-H-2"' in html
    assert "trim station" not in html


def test_a_coat_that_gets_dry_shows_though_nobody_wrote_anything(crew: Client, clock: Traveller) -> None:
    a_shop()
    a_primed_hull("H-8", coat_at=NOON - timedelta(hours=15, minutes=50))
    dry = NOON + timedelta(minutes=10)
    clock.move_to(dry - timedelta(seconds=20))
    poll = poll_of(shown(crew))
    clock.move_to(dry - timedelta(seconds=1))
    assert crew.get(poll, headers=HTMX).status_code == 204
    clock.move_to(dry + timedelta(seconds=1))
    response = crew.get(poll, headers=HTMX)
    assert response.status_code == 200
    assert 'class="says now"' in place_of(response.content.decode(), "H-8")


def test_a_ring_takes_its_steps_and_no_more(crew: Client, clock: Traveller) -> None:
    a_shop()
    a_primed_hull("H-8", coat_at=NOON - timedelta(hours=8, minutes=1))  # 50 %; a step of 5 % of 16 h is 48 min
    poll = poll_of(shown(crew))
    clock.move_to(NOON + timedelta(minutes=46))
    assert crew.get(poll, headers=HTMX).status_code == 204
    clock.move_to(NOON + timedelta(minutes=48))
    assert 'stroke-dasharray="55 100"' in crew.get(poll, headers=HTMX).content.decode()


def test_at_midnight_what_said_thursday_says_today(crew: Client, clock: Traveller) -> None:
    a_shop()
    a_primed_hull("H-8", coat_at=NOON + timedelta(minutes=1))
    clock.move_to(datetime(2026, 6, 10, 23, 59, 30, tzinfo=UTC))
    html = shown(crew)
    assert "Thu 04:01" in place_of(html, "H-8")
    clock.move_to(datetime(2026, 6, 10, 23, 59, 59, tzinfo=UTC))
    assert crew.get(poll_of(html), headers=HTMX).status_code == 204
    clock.move_to(datetime(2026, 6, 11, tzinfo=UTC))
    assert "today 04:01" in crew.get(poll_of(html), headers=HTMX).content.decode()


@pytest.mark.parametrize(
    "version", ["", "-", "x", "{beat}", "{beat}-", "{beat}-x", "{beat}-1", "{beat}-" + "9" * 400, "-²"]
)
def test_a_version_that_nobody_gave_is_answered_with_the_floor(crew: Client, version: str) -> None:
    a_shop()
    response = crew.get("/floor/part/", {"v": version.format(beat=Pulse.now().beat)}, headers=HTMX)
    assert response.status_code == 200


def test_opened_without_htmx_the_part_leads_to_the_page(crew: Client) -> None:
    a_shop()
    assert crew.get("/floor/part/").headers["Location"] == "/"


def test_a_screen_whose_log_in_ended_goes_to_the_log_in_page(crew: Client) -> None:
    a_shop()
    poll = poll_of(shown(crew))
    person = a_crew_member()
    person.log_in_round += 1  # logged out from elsewhere
    person.save()
    Pulse.bump()
    response = crew.get(poll, headers=HTMX)
    assert response.headers["HX-Redirect"] == "/login/?next=/"
    assert b"station" not in response.content
    assert Client().get(poll, headers=HTMX).headers["HX-Redirect"] == "/login/?next=/"


def test_a_stranger_learns_nothing_from_a_version_that_holds(crew: Client) -> None:
    a_shop()
    assert Client().get(poll_of(shown(crew)), headers=HTMX).status_code != 204


# --- What it costs


@pytest.mark.parametrize("count", [12, 60, 600])
def test_it_takes_the_same_ten_queries_whatever_the_number_of_hulls(crew: Client, count: int) -> None:
    a_shop()
    many_hulls(count)
    shown(crew)  # the set-up, the air and the route are read once
    with CaptureQueriesContext(connection) as queries:
        html = shown(crew)
    assert tables(queries) == [
        "shop_pulse",
        "django_session",
        "shop_crewmember",
        "stages_hullwork",  # where every hull stands
        "stages_hullwork",  # the rows of those that are shown
        "stages_stagestate",
        "stages_coaton",
        "stages_plan",  # until when places stay free
        "hulls_hull",  # whose owners wait
        "stages_hulldates",  # whose promises are in danger
    ]
    stations = Station.objects.count()
    assert html.count('id="hull-') <= (stations + 1) * PLACES_SHOWN
    assert html.count("drying") >= min(count, stations * PLACES_SHOWN) * 0.8


def test_a_page_with_sixty_hulls_stays_under_150_kilobytes_with_all_that_it_loads(crew: Client) -> None:
    a_shop()
    many_hulls(60)
    html = shown(crew)
    assert html.count('id="hull-') == 60
    loaded = {*re.findall(r'(?:src|href)="/static/([^"]+)"', html)}
    for sheet in [name for name in loaded if name.endswith(".css")]:
        others = re.findall(r'@import url\("([^"]+)"\)', body_of(sheet).decode())
        loaded |= {str(Path(sheet).parent / other) for other in others}
    loaded = {name for name in loaded if not name.endswith(".png")}  # the icon, which a phone's home screen loads
    assert {Path(name).suffix for name in loaded} == {".css", ".js"}
    bodies = [len(body_of(name)) for name in loaded]
    assert len(html.encode()) + sum(bodies) < 150_000  # not even packed

"""When one boat more could be done, and what would help: asked by address, answered by planning anew."""

import re
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.models import Pulse, Station
from tests.factories import a_shop, the_shop_owner
from tests.stages.at_work import a_hull_at

pytestmark = pytest.mark.django_db
BOAT = "length=16+ft&beam=34+in&depth=12+in&ends=23+in"


@pytest.fixture
def boss(client: Client) -> Client:
    a_shop()
    client.force_login(the_shop_owner())
    return client


def words(response: Any) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def test_it_begins_with_the_questions(boss: Client) -> None:
    page = boss.get("/plan/when/")
    assert page.status_code == 200
    assert "Length over all" in words(page)
    assert "So that nobody waits" not in words(page)


def test_a_boat_gets_the_days_on_which_nobody_waits_for_it(boss: Client) -> None:
    found = words(boss.get(f"/plan/when/?{BOAT}"))
    assert re.search(r"So that nobody waits for it On the bench from (today|tomorrow|\d+ \w+), done \d+ \w+", found)
    assert "Promised for the wished day" not in found


def test_luck_and_mishap_are_reckoned_in_with_a_day_to_promise(boss: Client) -> None:
    page = boss.get(f"/plan/when/?{BOAT}")
    assert re.search(
        r"With luck and mishap reckoned in: .+ – .+\. In four of five cases done by .+: promise no sooner\.",
        words(page),
    )
    assert page.context["when"].behind.suggested


def test_a_longer_list_of_damage_takes_longer(boss: Client) -> None:
    def done(query: str) -> date:
        on: date = boss.get(f"/plan/when/?{BOAT}&{query}").context["when"].behind.done_on
        return on

    assert done("ribs=60&planks=40") > done("ribs=2")


def test_a_wish_that_can_be_kept_and_one_that_cannot_are_told_apart(boss: Client) -> None:
    a_hull_at("strip", "H-7", promised_on=timezone.localdate() + timedelta(days=60))
    late = timezone.localdate() + timedelta(days=400)
    assert "By the plan the wished day is kept." in words(boss.get(f"/plan/when/?{BOAT}&by={late}"))
    soon = timezone.localdate() + timedelta(days=2)
    assert "The wished day cannot be kept." in words(boss.get(f"/plan/when/?{BOAT}&by={soon}"))


def test_nothing_is_written_by_asking(boss: Client) -> None:
    with CaptureQueriesContext(connection) as queries:
        boss.get(f"/plan/when/?{BOAT}&by={timezone.localdate() + timedelta(days=90)}")
    assert [found["sql"] for found in queries if found["sql"].startswith(("INSERT", "UPDATE", "DELETE"))] == []


def test_a_hull_that_is_here_is_asked_by_its_tag(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    a_hull_at("wood", "H-8")
    page = words(boss.get("/plan/when/?hull=H-7"))
    assert "When could H-7 be done?" in page
    assert "So that nobody waits for it On the bench from" in page
    assert boss.get("/plan/when/?hull=H-99").status_code == 404


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("length=16+ft", "Write this measure"),
        (f"{BOAT}&by=soon", "Enter a valid date"),
        (f"{BOAT}&by=2001-01-01", "Write a day from today on"),
        (f"{BOAT}&ribs=-3", "Write a number from 0 to 200."),
    ],
)
def test_what_cannot_be_asked_is_refused_with_what_was_typed_still_there(boss: Client, query: str, says: str) -> None:
    page = boss.get(f"/plan/when/?{query}")
    assert page.status_code == 422
    assert says in words(page)
    assert 'value="16 ft"' in page.content.decode()


def test_a_shop_without_a_canvas_rig_says_what_stands_in_the_way(boss: Client) -> None:
    Station.objects.filter(kind="canvas").delete()
    Pulse.bump(setup=True)
    found = words(boss.get(f"/plan/when/?{BOAT}"))
    assert "Not all of it has a place in the plan." in found
    assert "Stretch and tack the canvas: “canvas rig” has 0 places; this needs 1." in found
    assert "which cannot be placed" not in found


def test_it_tells_what_would_help_most(boss: Client) -> None:
    Station.objects.exclude(kind="finishing").update(places=9)
    Station.objects.filter(kind="finishing").update(places=1)
    Pulse.bump(setup=True)
    for number in range(6):
        a_hull_at("rack", f"H-{number}", promised_on=timezone.localdate() + timedelta(days=20))
    page = boss.get("/plan/helps/")
    shown = [one.what for one in page.context["helps"]]
    assert "One more place: finishing room" in shown
    assert "One more place: canvas rig" not in shown


def test_a_station_that_the_shop_lacks_would_help_most(boss: Client) -> None:
    Station.objects.filter(kind="canvas").update(places=0)
    Pulse.bump(setup=True)
    a_hull_at("rack", "H-7")
    page = boss.get("/plan/helps/")
    first = page.context["helps"][0]
    assert first.what == "One more place: canvas rig"
    assert re.search(r"\d+ steps? finds? a place that ha(s|ve) none", words(page))


def test_an_address_with_a_null_character_is_read_without_it(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    assert "When could H-7 be done?" in words(boss.get("/plan/when/?hull=H-7%00"))


def test_neither_page_takes_a_post(boss: Client) -> None:
    assert boss.post("/plan/when/").status_code == 405
    assert boss.post("/plan/helps/").status_code == 405

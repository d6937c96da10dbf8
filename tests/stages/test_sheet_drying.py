"""What a hull's sheet tells of its drying coat and its drying wood: when, how sure, and for which step."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hulls.models import Hull
from shop.models import Pulse, Reading, Shop, Zone
from stages.engine.rules.wood import drying
from stages.models import Entry
from stages.queries.routes import engine_route
from stages.queries.sheet import at_hand
from stages.queries.sheet_wood import asking, wood_of
from stages.saying import when
from stages.services import bench, notes
from tests.factories import a_crew_member, a_shop, hand, station, the_shop_owner
from tests.stages.at_work import SKIP, a_hull_at, a_primed_hull
from tests.stages.test_sheet import page, words

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)  # a Wednesday
EMC_23C_50PCT = 9.2  # USDA Wood Handbook, table 4-2, between its rows for 21.1 and 26.7 °C


@pytest.fixture(autouse=True)
def noon() -> Iterator[None]:
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def nights(spread_c: float) -> None:
    """Two weeks of days that are warm at noon; every other night is colder by a spread."""
    Reading.objects.all().delete()
    Reading.objects.bulk_create(
        Reading(
            zone=zone,
            at=NOON - timedelta(hours=n),
            air_c=16.0 + 4.0 * math.cos(2 * math.pi * n / 24) - spread_c * (n // 24 % 2),
            rh_pct=55.0,
        )
        for zone in Zone.objects.all()
        for n in range(24 * 14)
    )
    Pulse.bump(air=True)


def now_card(html: str) -> str:
    return html.split('id="now"')[1].split('id="record"')[0]


# --- The coat in hand


def test_a_drying_coat_says_when_it_is_dry_and_how_early_and_late(crew: Client) -> None:
    nights(3.0)
    hull = a_primed_hull(coat_at=NOON - timedelta(hours=4))
    card = words(now_card(page(crew)))
    found = re.search(r"Dry to sand (Thu \d\d:\d\d), between (Thu )?(\d\d:\d\d) and (Thu )?(\d\d:\d\d)", card)
    assert found, card
    early, likely, late = found[3], found[1].removeprefix("Thu "), found[5]
    assert early < likely < late
    line = Entry.objects.get(hull=hull, kind="coat").number
    assert f"{found[1]}, between {early} and {late}." in words(page(crew, f"/hulls/H-1/coats/{line}/"))


@pytest.mark.parametrize(("units", "room", "says"), [("metric", "21", "21 °C"), ("us", "70", "70 °F")])
def test_a_warm_room_is_a_tap_away(crew: Client, units: str, room: str, says: str) -> None:
    Shop.objects.update(units=units)
    Pulse.bump(setup=True)
    nights(0.0)
    hull = a_primed_hull(coat_at=NOON - timedelta(hours=4))
    line = Entry.objects.get(hull=hull, kind="coat").number
    link = re.search(r'<a class="button button--quiet what-if" href="([^"]+)">([^<]+)</a>', now_card(page(crew)))
    assert link
    assert link[1] == f"/hulls/H-1/coats/{line}/?room={room}"
    said = re.fullmatch(rf"What if the room were at {says}: (\w+ \d\d:\d\d)", link[2])
    assert said
    html = words(page(crew, link[1]))
    assert "If the room were at" in html
    # The sheet says what the page of the coat says of its sanding; 23 °C, 50 % is the label's own condition.
    row = re.search(
        r"Dry to sand[a-z, ]* [\d.]+ h (\w+ \d\d:\d\d) (?:between .*? and (?:\w+ )?\d\d:\d\d )?(\w+ \d\d:\d\d)", html
    )
    assert row
    assert row[2] == said[1]
    assert row[1] > row[2]


def test_outdoors_there_is_no_room_to_warm(crew: Client) -> None:
    a_primed_hull(coat_at=NOON - timedelta(hours=4))
    assert notes.move_hull(hull_id=Hull.objects.get().pk, station=station("yard").pk, hand=hand()).done
    card = now_card(page(crew))
    assert "Dry to sand" in card
    assert "What if the room" not in card


def test_a_coat_that_stands_still_in_the_cold_says_so_and_still_leads_to_the_warm_room(crew: Client) -> None:
    Reading.objects.update(air_c=2.0)
    Pulse.bump(air=True)
    a_primed_hull(coat_at=NOON - timedelta(hours=4))
    card = words(now_card(page(crew)))
    assert "stands still in this air" in card
    assert "between" not in card
    assert "What if the room were at 21 °C" in card


# --- The wood


def a_washed_hull(*moistures: tuple[float, float]) -> Hull:
    """A hull at the wood bench that was washed ten days ago; then its moisture: hours ago, %."""
    hull = a_hull_at("wood")
    by = hand(by=the_shop_owner(), at=NOON - timedelta(days=10), override=SKIP)
    notes.record_lead_test(hull_id=hull.pk, positive=False, how="swab", hand=hand(at=by.at))
    for key in engine_route(hull.work.route).before["wash"]:
        assert bench.leave_out(hull_id=hull.pk, stage=key, reason=SKIP, hand=hand(at=by.at)).done
    for deed in (bench.start_stage, bench.finish_stage):
        outcome = deed(hull_id=hull.pk, stage="wash", hand=replace(by, client_id=uuid4()))
        assert outcome.done, outcome.findings
    measure(hull, *moistures)
    return hull


def measure(hull: Hull, *moistures: tuple[float, float]) -> None:
    for hours, pct in moistures:
        at = hand(at=NOON - timedelta(hours=hours))
        assert notes.record_moisture(hull_id=hull.pk, moisture_pct=pct, spot="bilge", hand=at).done


def wood(client: Client) -> str:
    html = page(client)
    return words(html.split('<h2 id="wood">')[1].split("</section>")[0])


def test_a_hull_that_nobody_measured_says_nothing_of_its_wood(crew: Client) -> None:
    hull = a_washed_hull()
    assert '<h2 id="wood">' not in page(crew)
    measure(hull, (11 * 24, 30.0))  # before it was washed
    assert '<h2 id="wood">' not in page(crew)


def test_one_reading_gives_a_rough_guess_for_the_next_step_that_asks(crew: Client) -> None:
    a_washed_hull((2, 22.0))
    said = wood(crew)
    assert said.startswith("The wood The wood held 22 %; the air where it stands tends to 9 %, 13 less.")
    found = re.search(r"“(.+)” asks for at most 15 %: likely (.+), between (.+) and (.+), a rough guess", said)
    assert found, said
    assert "a rough guess from 1 reading." in said
    assert found[1] == "Oil the outside of the bare hull"
    assert said.endswith("22 %, bilge, today 10:00")


def test_more_readings_make_it_surer_and_it_is_where_their_own_curve_leads(crew: Client) -> None:
    def on_the_curve(hours_ago: float) -> float:
        return EMC_23C_50PCT + 60.0 * math.exp(-(240 - hours_ago) / 24 / 5.0)

    hull = a_washed_hull(*[(ago, round(on_the_curve(ago), 2)) for ago in (192, 144, 96, 48, 24)])
    said = wood(crew)
    assert "rough" not in said
    found = at_hand(tag=hull.tag, pulse=Pulse.now(), now=NOON)
    assert found
    spec, limit = next(asking(found.work, NOON))
    estimate = drying(found.work, limit)
    assert estimate
    assert estimate.early
    assert estimate.late
    # First-order by hand: E + 60 exp(-t / 5 d) comes down to the limit at t.
    dry_at = NOON - timedelta(days=10) + timedelta(days=5.0 * math.log(60.0 / (limit - EMC_23C_50PCT)))
    assert estimate.early < dry_at < estimate.late
    assert when(estimate.likely or NOON, NOON) in said
    assert spec.name in said
    assert len(re.findall(r"%, bilge", said)) == 3  # the last three


def test_dry_wood_is_called_dry_enough(crew: Client) -> None:
    a_washed_hull((2, 11.0))
    assert "“Oil the outside of the bare hull” asks for at most 15 %: it is dry enough." in wood(crew)


def test_air_that_is_too_damp_never_dries_it(crew: Client) -> None:
    Reading.objects.update(air_c=12.0, rh_pct=92.0)
    Pulse.bump(air=True)
    a_washed_hull((2, 30.0))
    assert "in this air it will not come so low." in wood(crew)


def test_once_it_should_be_dry_it_asks_for_another_reading(crew: Client) -> None:
    a_washed_hull((9 * 24, 18.0))
    assert "it should be there by now, so measure it again." in wood(crew)


def test_a_glued_repair_asks_for_drier_wood_than_the_oil(crew: Client) -> None:
    hull = a_washed_hull((2, 22.0))
    notes.write_survey(hull_id=hull.pk, counts={"stems": 1}, conditions={}, hand=hand())
    assert "“Stems” asks for at most 12 %:" in wood(crew)


def test_a_hull_that_will_be_washed_yet_is_told_no_moment(crew: Client) -> None:
    measure(a_hull_at("wood"), (2, 22.0))
    said = wood(crew)
    assert "tends to 9 %" in said
    assert "asks for" not in said


def test_once_no_step_asks_the_wood_is_not_spoken_of_any_more(crew: Client) -> None:
    hull = a_washed_hull((2, 11.0))
    for key in engine_route(hull.work.route).before["hand_over"] - engine_route(hull.work.route).before["wash"]:
        bench.leave_out(hull_id=hull.pk, stage=key, reason=SKIP, hand=hand())
    assert '<h2 id="wood">' not in page(crew)


def test_the_wood_takes_no_query(crew: Client) -> None:
    hull = a_washed_hull((2, 22.0), (1, 21.0))
    found = at_hand(tag=hull.tag, pulse=Pulse.now(), now=NOON)
    assert found
    with CaptureQueriesContext(connection) as asked:
        assert wood_of(found.work, NOON)
    assert len(asked) == 0

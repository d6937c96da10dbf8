"""What's next: every step that hands could start now."""

import re
from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Role
from stages.queries import next as next_query
from stages.services import bench, notes
from tests.factories import a_crew_member, a_hull, a_shop, hand, product, station, the_shop_owner
from tests.stages.at_work import a_hull_at, a_primed_hull, many_hulls
from tests.stages.test_floor import shown, tables, words_of

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(a_crew_member())
    return client


def rows_of(html: str) -> list[str]:
    """The steps in their order, in words."""
    return [words_of(row) for row in re.findall(r"<li>\s*<a.*?</li>", html, re.DOTALL)]


def groups_of(html: str) -> list[str]:
    return re.findall(r"<h2>([^<]*)</h2>", html)


def test_each_step_says_hull_deed_hours_and_promise_and_leads_to_the_sheet(crew: Client) -> None:
    a_shop()
    with time_machine.travel(NOON, tick=False):
        a_hull_at("rack", "H-1", promised_on=date(2026, 7, 3))
        html = shown(crew, "/next/")
    assert groups_of(html) == ["rack station"]
    assert rows_of(html) == ["H-1 Survey and photos: start 1.5 h · promised for 3 July"]
    assert 'href="/hulls/H-1/"' in html


def test_the_soonest_promise_comes_first_then_the_one_that_presses_most(crew: Client) -> None:
    a_shop(places=9)
    with time_machine.travel(NOON, tick=False):
        a_hull_at("rack", "H-1", promised_on=None)
        a_hull_at("rack", "H-2", promised_on=date(2026, 7, 4))
        a_hull_at("rack", "H-3", promised_on=date(2026, 6, 11))
        a_hull_at("rack", "H-4", promised_on=date(2026, 7, 4), priority=3)
        a_hull_at("rack", "H-5", promised_on=date(2026, 6, 8))
        a_hull_at("rack", "H-6", promised_on=date(2026, 6, 10))
        html = shown(crew, "/next/")
    assert [row.split(" · ")[1] for row in rows_of(html)] == [
        "2 days late",
        "promised for today",
        "promised for tomorrow",
        "promised for 4 July, must be on time",
        "promised for 4 July",
        "no day promised",
    ]
    assert html.count('class="late"') == 1


def test_steps_stand_under_the_station_where_they_are_done(crew: Client) -> None:
    a_shop()
    hull = a_hull_at("rack", "H-1")
    for key in ("survey", "estimate"):
        bench.start_stage(hull_id=hull.pk, stage=key, hand=hand())
        bench.finish_stage(hull_id=hull.pk, stage=key, hand=hand())
    a_hull_at("rack", "H-2")
    a_hull("H-3")
    html = shown(crew, "/next/")
    assert groups_of(html) == ["rack station", "strip station", "Not on the floor yet"]
    assert "H-1 Fittings, keel, stem bands and outwales off: move to strip station" in rows_of(html)[1]
    assert rows_of(html)[2].startswith("H-3 Survey and photos: start")


def test_side_by_side_steps_of_one_hull_are_all_there(crew: Client) -> None:
    a_shop()
    hull = a_hull_at("wood", "H-1")
    notes.write_survey(hull_id=hull.pk, counts={"ribs": 2, "decks": 1}, conditions={}, hand=hand())
    for key in ("survey", "estimate", "unfit", "uncanvas", "strip_inside", "strip_brightwork", "wash"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="only the repairs", hand=hand())
    assert [row.split(":")[0] for row in rows_of(shown(crew, "/next/"))] == ["H-1 Ribs", "H-1 Decks"]


def test_what_dries_or_waits_is_not_there_and_the_first_to_be_ready_is_named(crew: Client) -> None:
    with time_machine.travel(NOON, tick=False):
        a_shop()
        a_primed_hull("H-1", coat_at=NOON - timedelta(hours=6))
        a_primed_hull("H-2", coat_at=NOON - timedelta(hours=8))
        html = shown(crew, "/next/")
    assert rows_of(html) == []
    assert "The first to be ready is H-2: today 20:00." in html  # 16 h on the label


def test_a_step_whose_coats_are_all_on_asks_for_no_more_hours(crew: Client) -> None:
    with time_machine.travel(NOON, tick=False):
        a_shop()
        hull = a_primed_hull(coat_at=NOON - timedelta(days=9))
        by = hand(by=the_shop_owner(), at=NOON - timedelta(days=8), override="sanded already")
        primer = product("primer").pk
        assert bench.apply_coat(hull_id=hull.pk, stage="prime", product=primer, surface="skin", hand=by).done
        rows = rows_of(shown(crew, "/next/"))
    assert rows == ["H-1 Prime: finish promised for 1 January 2030"]


def test_an_empty_shop_has_nothing_to_do(crew: Client) -> None:
    a_shop()
    assert "nothing that hands could start now" in shown(crew, "/next/")


def test_a_hull_that_moved_shows_at_its_new_place(crew: Client) -> None:
    a_shop()
    hull = a_hull_at("rack", "H-1")
    notes.move_hull(hull_id=hull.pk, station=station("trim").pk, hand=hand())
    assert groups_of(shown(crew, "/next/")) == ["trim station"]


def test_many_steps_stand_on_several_pages(crew: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(next_query, "ROWS_A_PAGE", 2)
    a_shop(places=3)
    for n in range(3):
        a_hull_at("rack", f"H-{n}")
    assert len(rows_of(shown(crew, "/next/"))) == 2
    assert [row[:3] for row in rows_of(shown(crew, "/next/?page=2"))] == ["H-2"]
    assert 'href="?page=2"' in shown(crew, "/next/")
    assert len(rows_of(shown(crew, "/next/?page=x"))) == 2


@pytest.mark.parametrize("count", [12, 60])
def test_it_takes_the_same_six_queries_whatever_the_number_of_hulls(crew: Client, count: int) -> None:
    a_shop()
    many_hulls(count)
    shown(crew, "/next/")  # the set-up, the air and the route are read once
    with CaptureQueriesContext(connection) as queries:
        shown(crew, "/next/")
    assert tables(queries) == [
        "shop_pulse",
        "django_session",
        "shop_crewmember",
        "stages_hullwork",
        "stages_stagestate",
        "stages_coaton",
    ]


def test_only_reading_is_answered(crew: Client) -> None:
    assert crew.post("/next/").status_code == 405


def test_whoever_is_not_logged_in_is_sent_to_the_log_in(client: Client) -> None:
    assert client.get("/next/").headers["Location"] == "/login/?next=/next/"


def test_a_wall_screen_may_look(client: Client) -> None:
    a_shop()
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert client.get("/next/").status_code == 200

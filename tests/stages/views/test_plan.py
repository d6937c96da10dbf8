"""The plan's page: what is drawn, lit, late and free; who may see it; and what an odd address shows."""

import re
from datetime import UTC, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from django.utils.formats import date_format

from hulls.models import Hull
from shop.models import CrewMember, Pulse, Role, Station, Zone
from stages.models import HullDates, Plan
from stages.queries.planned_days import next_days
from stages.queries.world import around
from stages.saying import day
from stages.services.planning import keep
from stages.services.replanning import plan_of
from tests.factories import a_crew_member, a_shop, the_shop_owner
from tests.stages.at_work import a_hull_at, many_hulls
from tests.stages.behind_the_link import link_to

pytestmark = pytest.mark.django_db


def make_a_plan() -> Plan:
    """Plan the shop as it is."""
    return keep(plan_of(around(), now=timezone.now(), seconds=0))


@pytest.fixture
def boss(client: Client) -> Client:
    a_shop()
    client.force_login(the_shop_owner())
    return client


def words(response: Any) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def test_it_shows_where_every_boat_stands_and_what_hands_are_at(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    make_a_plan()
    page = boss.get("/plan/")
    assert page.status_code == 200
    assert re.search(r'<a href="\?zoom=week&amp;from=[\d-]+&amp;boat=H-7"', page.content.decode())
    assert "Survey and photos" in words(page)


def test_before_the_first_plan_it_says_so(boss: Client) -> None:
    assert "There is no plan yet" in words(boss.get("/plan/"))


def test_a_boat_that_cannot_keep_its_promise_is_named_with_its_days(boss: Client) -> None:
    yesterday = timezone.localdate() - timedelta(days=1)
    a_hull_at("strip", "H-7", promised_on=yesterday)
    make_a_plan()
    page = words(boss.get("/plan/"))
    assert re.search(r"H-7 \d+ days late promised for .+, done .+", page)
    Hull.objects.update(promised_on=yesterday + timedelta(days=400))
    make_a_plan()
    assert "days late" not in words(boss.get("/plan/"))


def test_work_without_a_place_is_named_with_its_reason(boss: Client) -> None:
    a_hull_at("rack", "H-7")
    Station.objects.filter(kind="canvas").delete()
    Pulse.bump(setup=True)
    make_a_plan()
    shown = words(boss.get("/plan/"))
    at_fault, waiting = shown.split("Without a place in the plan")[1].split(" steps wait for these ")
    assert re.fullmatch(r" H-7 Stretch and tack the canvas: “canvas rig” has 0 places; this needs 1\. \d+", at_fault)
    assert "H-7 Hand-over: Waits for Final check and photos (H-7), which cannot be placed." in waiting


def test_a_boat_that_drops_out_shows_no_days_but_why_on_the_plan_and_on_its_sheet(boss: Client) -> None:
    hull = a_hull_at("rack", "H-7", promised_on=timezone.localdate() + timedelta(days=900))
    make_a_plan()
    assert "no date" not in words(boss.get("/plan/"))
    assert re.search(r"· likely done between \d.* and \d+ \w+", words(boss.get("/hulls/H-7/")))
    Station.objects.filter(kind="canvas").delete()
    Pulse.bump(setup=True)
    make_a_plan()
    shown = words(boss.get("/plan/"))
    why = "no date: “Stretch and tack the canvas”: “canvas rig” has 0 places; this needs 1."
    assert re.search(rf"H-7 – \d+ \w+ \d{{4}} – {re.escape(why)} ", shown.split("Every boat’s days")[1])
    assert re.search(
        r"H-7 has no date now, was \d+ \w+( \d{4})?: “Stretch and tack the canvas”: “canvas rig” has", shown
    )
    sheet = words(boss.get("/hulls/H-7/"))
    assert f"· {why}" in sheet
    assert "likely done" not in sheet
    Station.objects.create(name="canvas rig", kind="canvas", zone=Zone.objects.all()[0], places=1)
    Pulse.bump(setup=True)
    make_a_plan()
    shown = words(boss.get("/plan/"))
    assert re.search(r"H-7 now \d+ \w+( \d{4})?, had no date\.", shown)
    assert "no date:" not in shown
    assert HullDates.objects.filter(hull=hull).count() == 3


def test_a_shop_in_which_nobody_works_on_boats_says_so_of_the_first_step(boss: Client) -> None:
    a_hull_at("rack", "H-7")
    CrewMember.objects.update(at_bench=False)
    Pulse.bump(setup=True)
    make_a_plan()
    at_fault = words(boss.get("/plan/")).split("Without a place in the plan")[1].split(" steps wait for these ")[0]
    assert re.fullmatch(r" H-7 Survey and photos: Nobody here can do “work on boats”\. \d+", at_fault)


@pytest.mark.parametrize("zoom", ["day", "week", "month"])
def test_each_zoom_leads_to_the_others_and_on(boss: Client, zoom: str) -> None:
    a_hull_at("strip", "H-7")
    make_a_plan()
    page = boss.get(f"/plan/?zoom={zoom}&from=2026-05-06").content.decode()
    begins = "2026-05-06" if zoom == "day" else "2026-05-04"
    assert f"from={begins}" in page
    later = {"day": "2026-05-07", "week": "2026-05-11", "month": "2026-06-01"}[zoom]
    assert f'href="?zoom={zoom}&amp;from={later}"' in page
    for other in {"day", "week", "month"} - {zoom}:
        assert f'href="?zoom={other}&amp;from={begins}"' in page


@pytest.mark.parametrize(
    "query", ["zoom=year", "from=May", "from=0001-01-01", "from=9999-12-31", "boat=%00<b>", "zoom="]
)
def test_an_odd_address_shows_this_week(boss: Client, query: str) -> None:
    a_hull_at("strip", "H-7")
    make_a_plan()
    page = boss.get(f"/plan/?{query}")
    assert page.status_code == 200
    today = timezone.localdate()
    assert f"from={today - timedelta(days=today.weekday())}" in page.content.decode()
    assert "<b>" not in page.content.decode()


def test_a_touched_boat_is_lit_and_the_others_fade(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    a_hull_at("wood", "H-8")
    make_a_plan()
    page = boss.get("/plan/?zoom=month&boat=H-7").content.decode()
    assert re.search(r'boat=H-7" fill="#\w+" class="lit"', page)
    assert re.search(r'boat=H-8" fill="#\w+" class="faded"', page)
    assert 'class="lit"' not in boss.get("/plan/?zoom=month").content.decode()


def test_a_touched_boat_tells_the_chain_of_its_waits(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    make_a_plan()
    page = words(boss.get("/plan/?boat=H-7"))
    assert "What H-7 waits for" in page
    # the step before the last is worked on, and only then the hand-over can be
    assert re.search(r"Hand-over: “Final check and photos” is worked on until .+\.", page)
    assert "What H-7 waits for" not in words(boss.get("/plan/"))


def test_a_late_boat_tells_why(boss: Client) -> None:
    a_hull_at("strip", "H-7", promised_on=timezone.localdate() - timedelta(days=1))
    make_a_plan()
    assert "is worked on until" in words(boss.get("/plan/")).split("Late, and why")[1].split("Every boat’s days")[0]


def test_every_boat_has_its_days_and_the_chance_of_its_promise(boss: Client) -> None:
    a_hull_at("strip", "H-7", promised_on=timezone.localdate() + timedelta(days=900))
    make_a_plan()
    page = words(boss.get("/plan/")).split("Every boat’s days")[1]
    day = r"\d+ \w+( \d{4})?"
    assert re.search(rf"H-7 {day} {day} 100 % {day} – {day}", page)


def test_a_boat_that_is_promised_for_no_day_yet_has_one_suggested(boss: Client) -> None:
    hull = a_hull_at("strip", "H-7", promised_on=None)
    make_a_plan()
    (boat,) = boss.get("/plan/").context["page"].boats
    held = HullDates.objects.get(hull=hull)
    assert held.suggested_on is not None
    assert boat.suggested == day(held.suggested_on, timezone.localdate())
    assert f"not yet: no sooner than {boat.suggested}" in words(boss.get("/plan/"))


def test_a_boat_whose_early_and_late_day_are_one_has_one_day(boss: Client) -> None:
    hull = a_hull_at("strip", "H-7")
    make_a_plan()
    rows = HullDates.objects.filter(hull=hull)
    rows.update(late_on=rows.get().early_on, likely_on=rows.get().early_on)
    assert " – " not in boss.get("/plan/").context["page"].boats[0].span


def test_what_moved_is_told_with_its_days(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    plan = make_a_plan()
    far = timezone.localdate() + timedelta(days=40)
    why = [{"text": "“%(step)s” is soft.", "values": {"step": "Filler"}}]
    moved = [{"tag": "H-7", "was": far.isoformat(), "now": (far + timedelta(days=2)).isoformat(), "why": why}]
    Plan.objects.filter(pk=plan.pk).update(moved=moved, made_at=timezone.now())
    assert re.search(r"H-7 now \d+ \w+, was \d+ \w+: “Filler” is soft\.", words(boss.get("/plan/")))


def test_a_boats_owner_reads_about_when_each_layer_goes_on(boss: Client) -> None:
    hull = a_hull_at("strip", "H-7")
    assert next_days("H-7", UTC) == {}
    make_a_plan()
    days = next_days("H-7", UTC)
    assert days["oil"] < days["canvas"] < days["enamel"]
    assert f"about {date_format(days['oil'], 'j F')}" in words(Client().get(link_to(hull)))


def test_with_htmx_only_the_drawn_part_comes(boss: Client) -> None:
    a_hull_at("strip", "H-7")
    make_a_plan()
    page = boss.get("/plan/", headers={"HX-Request": "true"}).content.decode()
    assert '<div id="plan"' in page
    assert "<h1>" not in page


def test_it_takes_no_post(boss: Client) -> None:
    assert boss.post("/plan/").status_code == 405


@pytest.mark.parametrize(("role", "status"), [(Role.LOOK, 403), (Role.CREW, 200), (Role.OWNER, 200)])
def test_the_crew_may_see_it(client: Client, role: Role, status: int) -> None:
    a_shop()
    client.force_login(a_crew_member("someone", role))
    assert client.get("/plan/").status_code == status


def test_the_number_of_queries_does_not_grow_with_the_hulls(boss: Client) -> None:
    def queries() -> int:
        make_a_plan()
        boss.get("/plan/")  # the set-up and the plan are kept from here on
        with CaptureQueriesContext(connection) as found:
            boss.get("/plan/")
        return len(found)

    many_hulls(2)
    with_two = queries()
    Hull.objects.update(promised_on=None)
    for number in range(6):
        a_hull_at("rack", f"H-{number}")
    assert queries() == with_two

"""A hull's sheet: what it shows to whom, that it stays fresh, and what it costs."""

import re
from datetime import UTC, datetime, timedelta
from html import unescape
from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from hulls.models import Hull, Photo
from shop.models import Role, Shop
from stages.forms.acts import BESIDE
from stages.models import Entry
from stages.queries.sheet import LATEST
from stages.services import bench, notes
from stages.services.links import renew_link
from stages.services.orders import Hand
from tests.factories import a_crew_member, a_hull, a_shop, hand, station
from tests.stages.at_work import a_hull_at, a_primed_hull

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}
NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)  # a Wednesday


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


@pytest.fixture
def wall(crew: Client) -> Client:
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    return screen


def page(client: Client, address: str = "/hulls/H-1/") -> str:
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def words(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def poll_of(html: str) -> str:
    found = re.search(r'id="sheet"[^>]* hx-get="([^"]+)" hx-trigger="every 10s" hx-swap="outerHTML"', html)
    assert found, "the sheet does not poll"
    return found[1]


# --- What it shows


def test_its_head_says_tag_name_sizes_place_and_promise(crew: Client) -> None:
    a_hull_at("wood", name="Kestrel", length_m=4.8768)
    said = words(page(crew))
    for part in ("H-1 Kestrel", "wood station, place 1", "promised for 1 January 2030", "Length 4.88 m", "Old paint"):
        assert part in said


def test_sizes_stand_in_the_shops_units(crew: Client) -> None:
    shop = Shop.objects.get()
    shop.units = "us"
    shop.save()
    a_hull(length_m=4.9276, beam_m=0.8763)
    assert "Length 16 ft 2 in Beam 34 1/2 in" in words(page(crew))


def test_a_broken_promise_is_called_late(crew: Client) -> None:
    a_hull(promised_on=timezone.localdate() - timedelta(days=1))
    assert "late" in words(page(crew)).split("Now")[0]


def test_the_owner_is_named_to_the_crew_and_not_on_the_wall(crew: Client, wall: Client) -> None:
    a_hull(owner="Ada Reed")
    assert "Ada Reed" in page(crew)
    for private in ("Ada Reed", "owner@example.org", "/do/", "<form method="):
        assert private not in page(wall).split("<main")[1]


def test_what_hands_can_do_now_stands_first_with_its_one_button(crew: Client) -> None:
    a_hull()
    html = page(crew)
    now = words(html.split('id="now"')[1].split('id="record"')[0])
    assert "Survey and photos Ready: start · 1.5 h" in now
    assert re.search(r'<form id="do-start-survey".*?<button type="submit" class="button">Start</button>', html, re.S)


def test_a_drying_coat_shows_its_ring_and_when_it_is_dry(crew: Client) -> None:
    with time_machine.travel(NOON, tick=False):
        a_primed_hull(coat_at=NOON - timedelta(hours=8))
        now = page(crew).split('id="now"')[1].split('id="record"')[0]
    assert 'class="ring"' in now
    assert "Prime Dry to sand today 20:00 ·" in words(now)  # 16 h on the label, in its own steady air
    assert "Not yet: The High-build primer, alkyd is not dry enough to be sanded." in words(now)


def test_every_step_of_the_plan_says_its_state_in_words(crew: Client) -> None:
    hull = a_hull()
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand())
    bench.leave_out(hull_id=hull.pk, stage="estimate", reason="our own boat", hand=hand())
    plan = page(crew).split('id="plan"')[1].split("</section>")[0]
    told = {words(line) for line in re.findall(r'<(?:summary|div) class="steps__line.*?</(?:summary|div)>', plan)}
    today = timezone.localdate().strftime("%-d %B")
    assert any(text.endswith(f"Survey and photos finished {today}") for text in told)
    assert any(text.endswith("Estimate approved left out: our own boat") for text in told)
    assert any("Fittings, keel, stem bands and outwales off ready: move to strip station" in text for text in told)
    assert any(text.endswith("Hand-over waiting") for text in told)
    assert "Ribs" in words(page(crew).split("Not needed on this hull:")[1].split("</p>")[0])


def test_a_step_that_only_waits_its_turn_says_what_comes_first_and_its_caution(crew: Client) -> None:
    a_hull()
    html = page(crew)
    oil = words(html.split('id="step-oil"')[1].split("</details>")[0])
    assert "After “" in oil
    assert "Caution. Oil-wet rags can self-heat." in oil
    assert "What clears it" not in oil
    plan = html.split('id="plan"')[1].split("</section>")[0]
    assert plan.count("General information only. Local codes, the SDS and licensed professionals govern.") == 1


def test_a_step_in_hand_is_told_under_now_and_not_once_more_in_the_plan(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    now, plan = (page(crew).split(f'id="{part}"')[1].split("</section>")[0] for part in ("now", "plan"))
    assert "is not dry enough to be sanded" in words(now)
    assert "is not dry enough to be sanded" not in words(plan)


def test_what_a_waiting_step_seldom_needs_is_a_link_to_its_form_which_stands_at_the_step(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    fresh = page(crew)
    assert 'href="?do=coat&amp;about=prime#do-coat-prime"' in fresh
    assert 'href="?do=strike#do-strike"' in fresh
    assert 'id="do-coat-prime"' not in fresh
    asked = page(crew, "/hulls/H-1/?do=coat&about=prime").split('id="record"')[0]
    assert '<details class="act-fold" open id="fold-do-coat-prime">' in asked


def test_a_sheet_that_a_phone_keeps_has_every_form(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    kept = crew.get("/hulls/H-1/", headers={"X-Kept": "page"}).content.decode()
    at_the_step = {f"do-{act}-prime" for act in ("tacky", "dry", "coat", "sand", "finish", "photo")}
    beside = {f"do-{act}" for act in (*BESIDE, "link") if act != "put_back"}
    assert at_the_step | beside <= set(re.findall(r'<form id="([^"]+)"', kept))
    assert "?do=" not in kept.split('id="record"')[1].split("</section>")[0]


def test_no_form_of_a_sheet_names_a_field_twice(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    kept = crew.get("/hulls/H-1/", headers={"X-Kept": "page"}).content.decode()
    for form in re.findall(r"<form id=.*?</form>", kept, re.DOTALL):
        names = re.findall(r'<(?:input type="(?!radio|submit)|select|textarea)[^>]* name="([^"]+)"', form)
        assert len(names) == len(set(names)), names
    ids = re.findall(r' id="([^"]+)"', kept)
    assert len(ids) == len(set(ids))


def test_what_can_hurt_someone_is_said_with_the_usual_ending(crew: Client) -> None:
    hull = a_hull_at("strip")
    for key in ("survey", "estimate"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="not looked at here", hand=hand())
    now = words(page(crew).split('id="now"')[1].split('id="record"')[0])
    ending = "General information only. Local codes, the SDS and licensed professionals govern."
    assert f"Old tacks fly and cut: eye protection, gloves. {ending}" in now
    assert now.count(ending) == 1


def test_surfaces_tell_their_coats_with_product_zone_pot_and_sanding(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(days=2))
    bench.sand(hull_id=hull.pk, stage="prime", surface="skin", grit=220, hand=hand())
    html = page(crew)
    skin = words(html.split('id="surface-skin"')[1].split("</details>")[0])
    coat = Entry.objects.get(hull=hull, kind="coat")
    assert f'href="/hulls/H-1/coats/{coat.number}/"' in html
    assert "Skin 1 coat" in skin
    assert re.search(r"High-build primer, alkyd Prime, coat 1 · .* · Indoors · sanded today \d\d:\d\d, grit 220", skin)


def test_a_surface_without_coats_says_what_is_on_it(crew: Client) -> None:
    hull = a_hull()
    notes.write_survey(hull_id=hull.pk, counts={}, conditions={"brightwork": "flaking"}, hand=hand())
    assert "Brightwork old finish, flaking or loose" in words(page(crew))
    assert "Inside old finish, not looked at yet" in words(page(crew))


def test_the_log_tells_each_line_in_a_sentence_with_its_number_time_and_hand(crew: Client) -> None:
    hull = a_hull()
    notes.write_survey(hull_id=hull.pk, counts={"ribs": 3, "planks": 1}, conditions={"skin": "sound"}, hand=hand())
    notes.add_find(hull_id=hull.pk, damage="stems", count=1, note="rotten", hand=hand())
    notes.record_lead_test(hull_id=hull.pk, positive=False, how="swab", hand=hand())
    notes.move_hull(hull_id=hull.pk, station=station("wood").pk, hand=hand(by=a_crew_member("ines")))
    log = words(page(crew).split('id="log"')[1])
    for sentence in (
        "Survey: 3 ribs, 1 length of planking; skin sound.",
        "Found on the way: 1 stem. rotten.",
        "Lead test: no lead found. Swab.",
        "Moved to wood station, place 1.",
        "Arrived, with old finish on: planking, outside, skin, inside, brightwork.",
    ):
        assert sentence in log
    assert re.search(r"5 today \d\d:\d\d · ines Moved", log)


def test_of_a_long_log_the_last_lines_stand_there_and_the_rest_is_a_link_away(crew: Client) -> None:
    hull = a_hull()
    for n in range(LATEST + 2):
        notes.write_note(hull_id=hull.pk, text=f"note {n}", hand=hand())
    html = page(crew)
    assert html.count('<p class="log__says">') == LATEST
    assert "3 earlier lines" in html
    whole = page(crew, "/hulls/H-1/?log=all")
    assert whole.count('<p class="log__says">') == LATEST + 3
    assert poll_of(whole).endswith("&amp;log=all")


def test_a_line_recorded_later_says_so(crew: Client) -> None:
    hull = a_hull(arrived=timezone.now() - timedelta(days=2))
    at = timezone.now() - timedelta(days=1)
    now = Hand(by=a_crew_member(), at=at, client_id=uuid4())
    notes.write_note(hull_id=hull.pk, text="late", hand=now)
    assert re.search(r"yesterday \d\d:\d\d · hand · recorded today \d\d:\d\d late", words(page(crew)))


def test_html_of_the_owners_making_is_never_run(crew: Client) -> None:
    evil = "<img src=x onerror=alert(1)>"
    a_hull(owner=evil, name=evil, notes=evil, colour_name=evil[:40])
    html = page(crew)
    assert "<img src=x" not in html
    assert html.count("&lt;img src=x onerror=alert(1)&gt;") >= 3


def test_a_hull_whose_tag_has_a_slash_has_a_sheet(crew: Client) -> None:
    a_hull("26/14")
    assert "26/14" in page(crew, "/hulls/26/14/")
    response = crew.post("/hulls/26/14/do/note/", {"client_id": hand().client_id, "text": "x"})
    assert (response.status_code, response["Location"]) == (303, "/hulls/26/14/")


def test_an_address_can_open_a_form_and_fill_it_in(crew: Client) -> None:
    a_hull()
    html = page(crew, "/hulls/H-1/?do=strike&number=1")
    assert re.search(r'<details class="act-fold" open id="fold-do-strike">', html)
    assert re.search(r'name="number" value="1"', html)
    assert page(crew, "/hulls/H-1/?do=launch").count("act-fold") == page(crew).count("act-fold")


def test_a_progress_link_is_dated_but_never_shown(crew: Client) -> None:
    hull = a_hull()
    token = renew_link(hull_id=hull.pk, hand=hand())
    html = page(crew)
    assert token
    assert token not in html
    assert "The boat's owner has a link since" in words(html)


# --- Fresh without reloading


def test_an_unchanged_sheet_is_answered_with_nothing_in_two_queries(crew: Client) -> None:
    a_hull()
    address = poll_of(page(crew))
    with CaptureQueriesContext(connection) as asked:
        response = crew.get(address, headers=HTMX)
    assert (response.status_code, response.content) == (204, b"")
    assert len(asked) == 2, [query["sql"] for query in asked]


def test_a_change_brings_the_part_without_its_page_and_leaves_messages_alone(crew: Client) -> None:
    hull = a_hull()
    address = poll_of(page(crew))
    notes.write_note(hull_id=hull.pk, text="The bow is soft.", hand=hand())
    html = crew.get(address, headers=HTMX).content.decode()
    assert "The bow is soft." in html
    assert "<html" not in html
    assert 'id="messages"' not in html
    assert poll_of(html) != address


def test_time_alone_makes_a_sheet_stale_when_a_coat_is_dry(crew: Client) -> None:
    with time_machine.travel(NOON, tick=False) as clock:
        a_primed_hull(coat_at=NOON - timedelta(hours=15))
        address = poll_of(page(crew))
        assert crew.get(address, headers=HTMX).status_code == 204
        clock.move_to(NOON + timedelta(hours=4))
        assert "On the bench: sand before coat 2 of 2" in words(crew.get(address, headers=HTMX).content.decode())


def test_the_part_is_no_page_of_its_own(crew: Client) -> None:
    a_hull()
    response = crew.get("/hulls/H-1/part/")
    assert (response.status_code, response["Location"]) == (302, "/hulls/H-1/")


def test_a_screen_whose_session_ended_is_sent_to_the_log_in(crew: Client) -> None:
    a_hull()
    response = Client().get("/hulls/H-1/part/", headers=HTMX)
    assert response["HX-Redirect"] == "/login/?next=/hulls/H-1/"


# --- Who may look, and what it costs


def test_whoever_is_not_logged_in_is_sent_to_the_log_in(crew: Client) -> None:
    a_hull()
    response = Client().get("/hulls/H-1/")
    assert (response.status_code, response["Location"]) == (302, "/login/?next=/hulls/H-1/")


def test_only_reading_is_answered(crew: Client) -> None:
    a_hull()
    assert crew.post("/hulls/H-1/").status_code == 405
    assert crew.post("/hulls/H-1/part/").status_code == 405


def test_an_unknown_hull_is_not_found(crew: Client) -> None:
    assert crew.get("/hulls/H-9/").status_code == 404
    assert crew.get("/hulls/H-9/part/", headers=HTMX).status_code == 404


def fill(hull: Hull, count: int) -> None:
    for n in range(count):
        by = a_crew_member(f"hand-{n % 5}")
        notes.write_note(hull_id=hull.pk, text=f"note {n}", hand=hand(by=by))
        Photo.objects.create(hull=hull, caption=f"photo {n}", taken_at=timezone.now())


@pytest.mark.parametrize("count", [1, 60])
def test_it_takes_the_same_twelve_queries_however_long_the_log(crew: Client, count: int) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=3))
    fill(hull, count)
    page(crew)  # the set-up and the air are kept from now on
    with CaptureQueriesContext(connection) as asked:
        page(crew)
    assert len(asked) == 12, [query["sql"] for query in asked]
    assert Entry.objects.filter(hull=hull).count() >= count

"""One-tap actions at a hull: recorded, refused, sent twice, too late, and everything that cannot be."""

import io
import re
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone
from PIL import Image

from hulls.models import Hull, Photo, ProgressLink
from hulls.tokens import token_hash
from shop.models import Role, Shop, Zone
from stages.audit import differences
from stages.models import Entry, HullWork
from stages.services import bench, notes
from tests.at_work import finish
from tests.factories import a_crew_member, a_hull, a_shop, hand, product, station, the_shop_owner
from tests.stages.at_work import a_primed_hull
from tests.stages.handing_over import a_finished_boat

pytestmark = pytest.mark.django_db

KEPT = {"HX-Request": "true", "X-Kept": "act"}
HTMX = {"HX-Request": "true"}
ID = UUID("11111111-2222-4333-8444-555555555555")


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def the_owner() -> Client:
    client = Client()
    client.force_login(the_shop_owner())
    return client


def post(client: Client, action: str, *, tag: str = "H-1", htmx: bool = False, **fields: Any) -> Any:
    """Send an act as its form does."""
    sent = {"client_id": uuid4(), **fields}
    return client.post(f"/hulls/{tag}/do/{action}/", sent, headers=HTMX if htmx else {})


def words(response: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def errors_of(response: Any) -> dict[str, str]:
    """By field, what is said beside it; under "" what is said beside none."""
    html = response.content.decode()
    beside = re.findall(r'<ul class="errorlist" id="do-[\w-]+-(\w+)_error">(.*?)</ul>', html, re.DOTALL)
    found = {name: unescape(re.sub(r"<[^>]+>", "", text)).strip() for name, text in beside}
    general = re.findall(r'<p class="errorlist">(.*?)</p>', html, re.DOTALL)
    return found | ({"": unescape(" ".join(general))} if general else {})


def lines(hull: Hull) -> list[Entry]:
    return list(Entry.objects.filter(hull=hull).order_by("number"))


def a_photo_file(size: tuple[int, int] = (900, 600)) -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", size, "#c08a55").save(out, "JPEG")
    return SimpleUploadedFile("bench.jpg", out.getvalue(), "image/jpeg")


# --- Recorded


def test_a_step_is_started_and_the_sheet_comes_back_with_a_word_on_it(crew: Client) -> None:
    hull = a_hull()
    response = post(crew, "start", htmx=True, about="survey", stage="survey")
    assert response.status_code == 200
    assert lines(hull)[-1].kind == "started"
    assert lines(hull)[-1].by == a_crew_member()
    html = response.content.decode()
    assert "<html" not in html
    assert 'id="sheet"' in html
    assert re.search(r'id="messages" hx-swap-oob="innerHTML">\s*<ul class="messages">', html)
    assert "Started “Survey and photos”." in words(response)


def test_without_htmx_it_answers_with_the_address_of_the_sheet(crew: Client) -> None:
    hull = a_hull()
    response = post(crew, "start", stage="survey")
    assert (response.status_code, response["Location"]) == (303, "/hulls/H-1/")
    assert lines(hull)[-1].kind == "started"
    assert "Started “Survey and photos”." in words(crew.get("/hulls/H-1/"))


ACTS = [
    ("start", {"stage": "survey"}, "started", {"wet_method": False}),
    ("move", {"station": "strip", "place": "2"}, "moved", {"place": 2, "name": "strip station"}),
    (
        "survey",
        {"ribs": "3", "planks": "0", "skin": "sound", "inside": "flaking"},
        "survey",
        {"counts": {"ribs": 3, "planks": 0}, "conditions": {"skin": "sound", "inside": "flaking"}},
    ),
    ("find", {"damage": "decks", "count": "2", "note": "aft"}, "found", {"damage": "decks", "count": 2, "note": "aft"}),
    ("moisture", {"moisture_pct": "11.5", "spot": "stem"}, "moisture", {"moisture_pct": 11.5, "spot": "stem"}),
    ("lead_test", {"positive": "yes", "how": "swab"}, "lead_test", {"positive": True, "how": "swab"}),
    ("lead_test", {"positive": "no"}, "lead_test", {"positive": False, "how": ""}),
    ("note", {"text": "Stem band is bent."}, "note", {"text": "Stem band is bent."}),
    ("leave_out", {"stage": "estimate", "reason": "own boat"}, "left_out", {"reason": "own boat"}),
    (
        "rags",
        {"stage": "oil", "how": "spread flat outdoors to dry"},
        "rags",
        {"how": "spread flat outdoors to dry"},
    ),
]


@pytest.mark.parametrize(("action", "fields", "kind", "details"), ACTS, ids=[f"{act[0]}-{act[2]}" for act in ACTS])
def test_every_act_writes_its_line(
    crew: Client, action: str, fields: dict[str, Any], kind: str, details: dict[str, Any]
) -> None:
    hull = a_hull()
    if "station" in fields:
        fields = {**fields, "station": str(station(fields["station"]).pk)}
    response = post(crew, action, **fields)
    assert response.status_code == 303, errors_of(response)
    line = lines(hull)[-1]
    assert (line.kind, line.details | details) == (kind, line.details)


def test_a_coat_is_recorded_with_its_product_zone_and_pot(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(days=3))
    assert post(crew, "sand", about="prime", stage="prime", surface="skin", grit="220").status_code == 303
    primer, zone = product("primer"), Zone.objects.get(name="Indoors")
    fields: dict[str, Any] = {"product": primer.pk, "surface": "skin", "zone": zone.pk, "lot": "B 12"}
    assert post(crew, "coat", about="prime", stage="prime", **fields).status_code == 303
    coats = HullWork.objects.get(hull=hull).coats.order_by("layer")
    assert [(coat.number, coat.lot, coat.sanded_grit) for coat in coats] == [(1, "", 220), (2, "B 12", None)]
    assert list(differences()) == []


def test_it_can_be_back_dated_by_the_shops_clock(crew: Client) -> None:
    Shop.objects.update(time_zone="America/Toronto")
    Shop.objects.get().save()  # stamps the set-up
    hull = a_hull(arrived=datetime(2026, 1, 10, tzinfo=UTC))
    assert post(crew, "note", text="It snowed.", at="2026-01-20T08:30").status_code == 303
    assert lines(hull)[-1].at == datetime(2026, 1, 20, 13, 30, tzinfo=UTC)


def test_a_step_that_was_left_out_is_put_back(crew: Client) -> None:
    hull = a_hull()
    assert post(crew, "leave_out", stage="estimate", reason="ours").status_code == 303
    assert post(crew, "put_back", stage="estimate").status_code == 303
    assert lines(hull)[-1].kind == "put_back"


def test_the_hand_over_is_not_offered_to_be_left_out_and_refused_beside_the_step(crew: Client) -> None:
    hull = a_hull()
    sheet = crew.get("/hulls/H-1/?do=leave_out").content.decode()
    assert "?do=leave_out&amp;stage=final#" in sheet
    assert "?do=leave_out&amp;stage=hand_over#" not in sheet
    form = sheet[sheet.index('action="/hulls/H-1/do/leave_out/"') :].split("</form>")[0]
    assert '<option value="final">' in form
    assert '<option value="hand_over">' not in form
    before = len(lines(hull))
    response = post(crew, "leave_out", htmx=True, stage="hand_over", reason="fetched <at> night")
    assert response.status_code == 422
    assert "never left out" in words(response)
    assert "fetched &lt;at&gt; night" in response.content.decode()
    assert len(lines(hull)) == before


def test_a_photo_is_kept_and_logged(crew: Client) -> None:
    hull = a_hull()
    response = post(crew, "photo", htmx=True, images=a_photo_file(), caption="The stem", shared="on", view="bow")
    assert response.status_code == 200
    photo = Photo.objects.get(hull=hull)
    assert (photo.caption, photo.shared, photo.view) == ("The stem", True, "bow")
    assert "Being worked on" in words(response)


def test_a_line_is_struck_and_stays_in_sight_with_its_reason(crew: Client) -> None:
    hull = a_hull()
    post(crew, "moisture", moisture_pct="40")
    response = post(crew, "strike", htmx=True, number=2, reason="meter was wet")
    assert response.status_code == 200
    assert lines(hull)[-1].kind == "strike"
    assert "<s>Wood moisture 40 %.</s>" in response.content.decode()
    assert "Struck: meter was wet" in words(response)


def test_a_photo_that_was_struck_leaves_the_sheet_and_its_line_stays(crew: Client) -> None:
    hull = a_hull()
    post(crew, "photo", images=a_photo_file(), caption="The stem", shared="on")
    photo = Photo.objects.get(hull=hull)
    response = post(crew, "strike", htmx=True, number=2, reason="of another boat")
    assert response.status_code == 200
    assert f"/photos/{photo.pk}/" not in response.content.decode()
    assert "Photo, shown to the boat's owner: The stem Struck: of another boat" in words(response)


# --- The progress link


def test_a_new_links_address_is_shown_once_and_opens_by_its_hash(crew: Client) -> None:
    hull = a_hull()
    response = post(crew, "link", htmx=True)
    assert response.status_code == 200
    (address,) = re.findall(r'<output id="link-address"[^>]*>(http://testserver/p/[^<]+)<', response.content.decode())
    token = address.rstrip("/").rsplit("/", 1)[1]
    assert ProgressLink.objects.get(hull=hull).token_hash == token_hash(token)
    assert token not in crew.get("/hulls/H-1/").content.decode()


def test_a_link_that_was_asked_for_twice_is_made_once_and_not_shown_again(crew: Client) -> None:
    hull = a_hull()
    assert "/p/" in post(crew, "link", client_id=ID).content.decode()
    again = post(crew, "link", client_id=ID)
    assert (again.status_code, ProgressLink.objects.filter(hull=hull).count()) == (200, 1)
    assert "/p/" not in again.content.decode()
    assert "shown once already" in words(again)


def test_a_link_is_withdrawn(crew: Client) -> None:
    hull = a_hull()
    post(crew, "link")
    assert post(crew, "withdraw_link").status_code == 303
    assert ProgressLink.objects.get(hull=hull).withdrawn_at is not None
    assert "has no link" in words(crew.get("/hulls/H-1/"))


# --- Refused by the rules


def test_a_refused_coat_says_why_what_clears_it_and_when_and_keeps_what_was_typed(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    before = len(lines(hull))
    fields: dict[str, Any] = {"product": product("primer").pk, "surface": "skin", "lot": "B 12", "client_id": ID}
    response = post(crew, "coat", htmx=True, about="prime", stage="prime", **fields)
    assert (response.status_code, response["HX-Retarget"]) == (422, "#do-coat-prime")
    assert len(lines(hull)) == before
    html, said = response.content.decode(), words(response)
    assert html.count("<form") == 1
    assert f'value="{ID}"' in html
    assert 'value="B 12"' in html
    assert "Refused: The High-build primer, alkyd is not dry enough to be sanded." in said
    assert "What clears it: Wait for its dry clock." in said
    assert re.search(r"At the earliest: (today|\w\w\w) \d\d:\d\d", said)
    assert 'href="/hulls/H-1/?do=sand&amp;about=prime#do-sand-prime"' in html


def test_without_htmx_the_refusal_stands_in_its_place_on_the_whole_page(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    fields: dict[str, Any] = {"product": product("primer").pk, "surface": "skin", "lot": "B 12"}
    response = post(crew, "coat", about="prime", stage="prime", **fields)
    html = response.content.decode()
    assert response.status_code == 422
    assert html.count('id="do-coat-prime"') == 1
    assert "is not dry enough to be sanded" in html
    assert 'value="B 12"' in html


def test_only_the_shops_owner_may_go_ahead_and_the_reason_stays_on_record(crew: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=1))
    fields: dict[str, Any] = {"product": product("primer").pk, "surface": "skin", "about": "prime", "stage": "prime"}
    assert "override" not in post(crew, "coat", htmx=True, **fields).content.decode()
    assert post(crew, "coat", **fields, override="I say so").status_code == 422
    owner = the_owner()
    assert 'name="override"' in post(owner, "coat", htmx=True, **fields).content.decode()
    response = post(owner, "coat", htmx=True, **fields, override="the customer insists")
    assert response.status_code == 200
    assert [item["reason"] for item in lines(hull)[-1].details["overrides"]] == ["the customer insists"] * 2
    assert "the customer insists" in words(response)


def test_nobody_goes_ahead_against_a_safety_rule(crew: Client) -> None:
    hull = a_hull()
    for key in ("survey", "estimate", "unfit"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="not looked at here", hand=hand())
    notes.move_hull(hull_id=hull.pk, station=station("strip").pk, hand=hand())
    response = post(the_owner(), "start", htmx=True, about="uncanvas", stage="uncanvas", override="never mind")
    assert response.status_code == 422
    assert "No lead test of the old finish is on record." in words(response)
    assert 'name="override"' not in response.content.decode()


def test_with_lead_found_the_wet_method_is_asked_for_and_recorded(crew: Client) -> None:
    hull = a_hull()
    for key in ("survey", "estimate", "unfit"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="not looked at here", hand=hand())
    notes.move_hull(hull_id=hull.pk, station=station("strip").pk, hand=hand())
    notes.record_lead_test(hull_id=hull.pk, positive=True, hand=hand())
    assert 'id="do-start-uncanvas-wet_method"' in crew.get("/hulls/H-1/").content.decode()
    dry = post(crew, "start", htmx=True, about="uncanvas", stage="uncanvas")
    assert dry.status_code == 422
    wet = post(crew, "start", htmx=True, about="uncanvas", stage="uncanvas", wet_method="on")
    assert wet.status_code == 200
    assert lines(hull)[-1].details == {"wet_method": True}


def test_a_strike_on_which_later_lines_lean_is_refused_and_names_them(crew: Client) -> None:
    a_primed_hull(coat_at=timezone.now() - timedelta(days=2))
    started = Entry.objects.get(kind="started")
    response = post(crew, "strike", htmx=True, number=started.number, reason="wrong boat")
    assert response.status_code == 422
    assert "leans on this" in words(response)


# --- Sent twice, or too late


def test_the_same_form_sent_twice_is_one_line(crew: Client) -> None:
    hull = a_hull()
    answers = [post(crew, "note", htmx=True, client_id=ID, text="once").status_code for _ in range(2)]
    assert answers == [200, 200]
    assert [line.kind for line in lines(hull)] == ["arrived", "note"]


def test_whoever_comes_too_late_is_told_who_was_faster(crew: Client) -> None:
    hull = a_hull()
    faster = a_crew_member("ines")
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand(by=faster))
    response = post(crew, "start", htmx=True, about="survey", stage="survey")
    assert response.status_code == 409
    assert re.search(r"ines had recorded this already: today \d\d:\d\d\.", words(response))
    assert 'id="sheet"' in response.content.decode()
    assert Entry.objects.filter(hull=hull, kind="started").count() == 1
    assert post(crew, "start", stage="survey").status_code == 409


# --- Bad input

TOMORROW = (timezone.now() + timedelta(days=1)).strftime("%Y-%m-%dT%H:%M")
COAT = {"stage": "prime", "about": "prime", "surface": "skin"}
BAD = [
    ("note", {"text": "x", "at": TOMORROW}, "at", "That time has not come yet."),
    ("note", {"text": "x", "at": "1999-01-01T10:00"}, "at", "That is before this hull arrived."),
    ("note", {"text": "x", "at": "noon"}, "at", "Enter a valid date/time."),
    ("note", {"text": "   "}, "text", "This field is required."),
    ("note", {"text": "x" * 4001}, "text", "at most 4000 characters"),
    ("note", {"text": "bell \x07"}, "text", "characters that cannot be shown"),
    ("note", {"text": "turned \u202e"}, "text", "characters that cannot be shown"),
    ("moisture", {"moisture_pct": "-3"}, "moisture_pct", "Wood moisture runs from 2 to 120 %."),
    ("moisture", {"moisture_pct": "1.9"}, "moisture_pct", "Wood moisture runs from 2 to 120 %."),
    ("moisture", {"moisture_pct": "120.1"}, "moisture_pct", "Wood moisture runs from 2 to 120 %."),
    ("moisture", {"moisture_pct": "nan"}, "moisture_pct", "Enter a number."),
    ("moisture", {"moisture_pct": "wet"}, "moisture_pct", "Enter a number."),
    ("moisture", {"moisture_pct": "12", "spot": "s" * 81}, "spot", "at most 80 characters"),
    ("survey", {"ribs": "-1"}, "ribs", "Counts run from 0 to 500."),
    ("survey", {"ribs": "501"}, "ribs", "Counts run from 0 to 500."),
    ("survey", {"skin": "shiny"}, "skin", "Select a valid choice."),
    ("find", {"damage": "ribs", "count": "0"}, "count", "Counts run from 1 to 500."),
    ("find", {"damage": "mast", "count": "1"}, "damage", "Select a valid choice."),
    ("sand", {"surface": "skin", "grit": "-80"}, "grit", "Grit runs from 24 to 3000."),
    ("sand", {"surface": "skin", "grit": "3001"}, "grit", "Grit runs from 24 to 3000."),
    ("sand", {"surface": "rudder"}, "surface", "Select a valid choice."),
    ("coat", {**COAT, "product": "0"}, "product", "Select a valid choice."),
    ("coat", {**COAT, "product": "primer", "surface": "mast"}, "surface", "Select a valid choice."),
    ("coat", {**COAT, "product": "primer", "lot": "l" * 41}, "lot", "at most 40 characters"),
    ("coat", {**COAT, "product": "primer", "zone": "777"}, "zone", "Select a valid choice."),
    ("move", {"station": "0"}, "station", "Select a valid choice."),
    ("move", {"station": "wood", "place": "3"}, "place", "That place is not free."),
    ("move", {"station": "wood", "place": "-1"}, "place", "That place is not free."),
    ("leave_out", {"stage": "estimate", "reason": ""}, "reason", "This field is required."),
    ("leave_out", {"stage": "estimate", "reason": "r" * 401}, "reason", "at most 400 characters"),
    ("leave_out", {"stage": "launch", "reason": "x"}, "stage", "Select a valid choice."),
    ("strike", {"number": "1", "reason": "x"}, "number", "This line cannot be struck."),
    ("strike", {"number": "99", "reason": "x"}, "number", "The log has no such line."),
    ("strike", {"number": "-1", "reason": "x"}, "number", "The log has no such line."),
    ("lead_test", {"how": "swab"}, "positive", "This field is required."),
    ("rags", {"stage": "oil", "how": "in a heap"}, "how", "Select a valid choice."),
    ("start", {"stage": "launch", "about": "launch\r\nSet-Cookie: x"}, "stage", "Select a valid choice."),
    ("finish", {"stage": "launch", "about": "survey"}, "", "This hull's route has no such step."),
    ("note", {"text": "x", "client_id": "1"}, "", "Enter a valid UUID."),
]


@pytest.mark.parametrize(("action", "fields", "field", "message"), BAD)
def test_bad_input_is_answered_beside_its_field_and_nothing_is_written(
    crew: Client, action: str, fields: dict[str, Any], field: str, message: str
) -> None:
    hull = a_hull()
    for name, value in fields.items():
        if name == "station" and value.isalpha():
            fields = {**fields, "station": str(station(value).pk)}
        if name == "product" and value.isalpha():
            fields = {**fields, "product": str(product(value).pk)}
    response = post(crew, action, htmx=True, **fields)
    assert response.status_code == 422
    assert message in errors_of(response).get(field, ""), errors_of(response)
    assert [line.kind for line in lines(hull)] == ["arrived"]


def test_without_script_the_page_that_comes_back_says_at_its_top_where_to_look(crew: Client) -> None:
    a_hull()
    html = post(crew, "moisture", moisture_pct="-4").content.decode()
    link = html.index('<a href="#do-moisture">Not recorded.')
    assert link < html.index("<h1>") < html.index('id="do-moisture"')


def test_what_was_typed_is_kept_beside_the_error_and_shown_escaped(crew: Client) -> None:
    a_hull()
    typed = "<script>alert('x')</script>"
    html = post(crew, "find", htmx=True, damage="ribs", count="0", note=typed).content.decode()
    assert 'value="&lt;script&gt;alert(&#x27;x&#x27;)&lt;/script&gt;"' in html
    assert "<script>alert" not in html


def test_html_in_a_note_is_shown_as_it_was_typed(crew: Client) -> None:
    a_hull()
    html = post(crew, "note", htmx=True, text="<b>bent</b>\nand rusty").content.decode()
    assert "&lt;b&gt;bent&lt;/b&gt;<br>and rusty" in html
    assert "<b>bent</b>" not in html


def test_a_file_that_is_no_photo_is_refused(crew: Client) -> None:
    hull = a_hull()
    response = post(crew, "photo", htmx=True, images=SimpleUploadedFile("x.jpg", b"GIF89a<script>"), caption="stem")
    why = "x.jpg was not kept. This file is no photo: send a JPEG, PNG, WebP, HEIC or AVIF."
    assert errors_of(response) == {"images": why}
    assert (response.status_code, Photo.objects.count(), len(lines(hull))) == (422, 0, 1)
    assert 'value="stem"' in response.content.decode()


def test_a_form_whose_place_on_the_sheet_is_gone_still_comes_back(crew: Client) -> None:
    a_hull()
    html = post(crew, "finish", about="enamel", stage="enamel").content.decode()
    assert html.count('id="do-finish-enamel"') == 1
    assert "“Enamel” has not been started." in html


@pytest.mark.parametrize("about", ["hand_over", ""])
def test_a_boat_does_not_go_home_from_its_sheet_but_is_led_to_its_hand_over(crew: Client, about: str) -> None:
    hull = a_finished_boat()
    assert post(crew, "start", about="hand_over", stage="hand_over").status_code == 303
    before, there = len(lines(hull)), "/hulls/H-1/hand-over/"
    plain = post(crew, "finish", about=about, stage="hand_over")
    assert (plain.status_code, plain["Location"]) == (303, there)
    assert "A boat goes home from this page" in words(crew.get(there))
    assert post(crew, "finish", htmx=True, about=about, stage="hand_over")["HX-Redirect"] == there
    kept = crew.post("/hulls/H-1/do/finish/", {"client_id": uuid4(), "stage": "hand_over"}, headers=KEPT)
    assert kept.status_code == 422
    assert "A boat goes home by its hand-over, where somebody signs for it." in words(kept)
    assert len(lines(hull)) == before


def test_work_on_a_hull_that_was_handed_over_is_closed_but_notes_are_not(crew: Client) -> None:
    hull = a_hull()
    for spec in ("survey", "estimate", "unfit", "uncanvas", "strip_inside", "wash", "fair", "seal_inside_before"):
        bench.leave_out(hull_id=hull.pk, stage=spec, reason="a short job", hand=hand())
    for spec in ("varnish_inside_before", "oil", "canvas", "preserve", "fill_latex", "prime", "enamel", "refit"):
        bench.leave_out(hull_id=hull.pk, stage=spec, reason="a short job", hand=hand())
    for spec in ("brightwork", "seats", "final"):
        bench.leave_out(hull_id=hull.pk, stage=spec, reason="a short job", hand=hand())
    assert post(crew, "start", about="hand_over", stage="hand_over").status_code == 303
    assert finish(hull_id=hull.pk, stage="hand_over", hand=hand()).done
    assert "This hull was handed over; its work is closed." in words(post(crew, "move", station=station("wood").pk))
    assert post(crew, "note", text="Fetched by his sister.").status_code == 303
    assert "Handed over on" in words(crew.get("/hulls/H-1/"))


# --- Who may, and how


def test_only_posts_act(crew: Client) -> None:
    a_hull()
    assert crew.get("/hulls/H-1/do/note/").status_code == 405


def test_an_unknown_hull_and_an_unknown_act_are_not_found(crew: Client) -> None:
    a_hull()
    assert post(crew, "note", tag="H-9", text="x").status_code == 404
    assert post(crew, "launch", text="x").status_code == 404


def test_a_wall_screen_records_nothing(crew: Client) -> None:
    hull, screen = a_hull(), Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    assert post(screen, "note", text="x").status_code == 403
    assert len(lines(hull)) == 1


def test_whoever_is_not_logged_in_is_sent_to_the_log_in(crew: Client) -> None:
    hull = a_hull()
    response = Client().post("/hulls/H-1/do/note/")
    assert (response.status_code, response["Location"]) == (302, "/login/?next=/hulls/H-1/do/note/")
    assert post(Client(), "note", text="x").status_code == 401  # the log-in page itself, which keeps the text
    assert len(lines(hull)) == 1


def test_a_phone_whose_session_ended_keeps_its_form(crew: Client) -> None:
    hull = a_hull()
    response = post(Client(), "note", htmx=True, text="x")
    assert (response.status_code, response.content) == (401, b"")
    assert not {"HX-Redirect", "HX-Refresh", "Location"} & set(response.headers)
    assert len(lines(hull)) == 1


def test_a_post_from_elsewhere_without_the_pages_token_is_turned_away(crew: Client) -> None:
    hull, strict = a_hull(), Client(enforce_csrf_checks=True)
    strict.force_login(a_crew_member())
    assert post(strict, "note", text="x").status_code == 403
    assert len(lines(hull)) == 1

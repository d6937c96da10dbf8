"""The list of hulls, taking one in, and changing its particulars."""

import re
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from hulls.models import Hull, Owner
from shop.models import Role, Shop
from stages.audit import differences
from stages.engine.errors import EngineError
from stages.models import Entry, HullWork, Route
from stages.queries.hulls import A_PAGE, next_tag
from stages.services.arrival import change_hull
from tests.factories import a_crew_member, a_hull, a_shop
from tests.stages.at_work import a_hull_at, a_primed_hull, many_hulls

pytestmark = pytest.mark.django_db

HTMX = {"HX-Request": "true"}
ID = UUID("11111111-2222-4333-8444-555555555555")


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def in_us_units() -> None:
    shop = Shop.objects.get()
    shop.units = "us"
    shop.save()


def listed(client: Client, address: str = "/hulls/") -> list[str]:
    """The tags on the page, in order."""
    response = client.get(address)
    assert response.status_code == 200
    return re.findall(r'<span class="tag">([^<]+)</span>', response.content.decode())


def words(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def errors_of(response: Any) -> dict[str, str]:
    """By field, what the form says beside it."""
    html = response.content.decode()
    found = re.findall(r'<ul class="errorlist" id="id_(\w+)_error">(.*?)</ul>', html, re.DOTALL)
    return {name: words(text) for name, text in found}


def typed(**changes: Any) -> dict[str, Any]:
    """The form as somebody fills it in."""
    today = timezone.localdate()
    values = {
        "client_id": uuid4(),
        "tag": "H-7",
        "name": "Kestrel",
        "owner_name": "Ada Reed",
        "owner_email": "ada@example.org",
        "owner_phone": "555 0100",
        "length_m": "16' 2\"",
        "beam_m": "34 1/2 in",
        "depth_m": "12 in",
        "end_depth_m": "23 in",
        "hull_type": "all-round",
        "wood": "white cedar on white cedar",
        "fittings": "ash",
        "old_colour": "#6e7f70",
        "old_finish": ["skin", "inside"],
        "filler": "latex",
        "inside_varnish": "before",
        "colour": "#2f5d46",
        "colour_name": "spruce green",
        "arrived_on": today.isoformat(),
        "promised_on": (today + timedelta(days=60)).isoformat(),
        "priority": "2",
        "notes": "Keel is loose.",
    } | changes
    return {name: value for name, value in values.items() if value is not None}


# --- The list


def test_each_hull_says_tag_name_owner_size_place_step_and_promise(crew: Client) -> None:
    in_us_units()
    a_hull_at("rack", "H-3", name="Tern", owner="Ada Reed", length_m=4.8768)
    said = words(crew.get("/hulls/").content.decode().split('<ul class="hulls">')[1])
    for part in (
        "H-3 Tern 16 ft · Ada Reed",
        "Survey and photos · now · 1.5 h",
        "rack station",
        "promised 1 January 2030",
    ):
        assert part in said


def test_owners_are_not_named_on_the_wall_nor_found_by_it(crew: Client) -> None:
    a_hull("H-3", owner="Ada Reed")
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    html = screen.get("/hulls/").content.decode()
    assert "Ada Reed" not in html
    assert "/hulls/new/" not in html
    assert listed(screen, "/hulls/?q=ada") == []


@pytest.mark.parametrize(
    ("search", "tags"),
    [
        ("h-1", ["H-1", "H-12"]),
        ("TERN", ["H-12"]),
        ("marsh", ["H-3"]),
        ("%", []),
        ("<script>", []),
        ("", ["H-1", "H-12", "H-3"]),
        ("\x00", ["H-1", "H-12", "H-3"]),
    ],
)
def test_it_finds_by_tag_name_and_owner(crew: Client, search: str, tags: list[str]) -> None:
    a_hull("H-1", name="Kestrel")
    a_hull("H-12", name="Tern")
    a_hull("H-3", owner="Junia Marsh")
    response = crew.get("/hulls/", {"q": search}, headers=HTMX)
    html = response.content.decode()
    assert re.findall(r'<span class="tag">([^<]+)</span>', html) == tags
    assert "<html" not in html
    assert "<script>" not in html


def test_hulls_that_were_handed_over_stand_apart(crew: Client) -> None:
    a_hull("H-1")
    HullWork.objects.filter(hull=a_hull("H-2")).update(handed_over_at=datetime(2026, 5, 2, tzinfo=UTC))
    assert listed(crew) == ["H-1"]
    assert listed(crew, "/hulls/?apart=handed-over") == ["H-2"]
    html = crew.get("/hulls/?apart=handed-over").content.decode()
    assert "In the shop: 1 Handed over: 1" in words(html)
    assert "handed over on 2 May 2026" in words(html)


def test_many_hulls_stand_on_several_pages_and_a_page_too_far_is_the_last(crew: Client) -> None:
    many_hulls(A_PAGE + 3)
    assert len(listed(crew)) == A_PAGE
    assert len(listed(crew, "/hulls/?page=2")) == 3
    assert len(listed(crew, "/hulls/?page=99")) == 3
    assert len(listed(crew, "/hulls/?page=x")) == A_PAGE
    assert 'href="?q=M&amp;page=2"' in crew.get("/hulls/?q=M").content.decode()


@pytest.mark.parametrize("count", [3, 100])
def test_it_takes_the_same_eight_queries_whatever_the_number_of_hulls(crew: Client, count: int) -> None:
    many_hulls(count)
    listed(crew)  # the set-up and the air are kept from now on
    with CaptureQueriesContext(connection) as asked:
        listed(crew)
    assert len(asked) == 8, [query["sql"] for query in asked]


def test_only_reading_is_answered(crew: Client) -> None:
    assert crew.post("/hulls/").status_code == 405


@pytest.mark.parametrize("address", ["/hulls/", "/hulls/new/", "/hulls/H-1/change/"])
def test_whoever_is_not_logged_in_is_sent_to_the_log_in(crew: Client, address: str) -> None:
    a_hull("H-1")
    response = Client().get(address)
    assert (response.status_code, response["Location"]) == (302, f"/login/?next={address}")


# --- The next tag


@pytest.mark.parametrize(
    ("tags", "after"),
    [
        ([], "H-1"),
        (["H-9"], "H-10"),
        (["H-099"], "H-100"),
        (["C-2", "H-1"], "H-2"),
        (["H-3", "H-2"], "H-4"),
        (["h-3", "H-2"], "H-4"),
        (["26/9"], "26/10"),
        (["Tern"], ""),
    ],
)
def test_the_next_tag_counts_on_from_the_last_hull(crew: Client, tags: list[str], after: str) -> None:
    for tag in tags:
        a_hull(tag)
    assert next_tag() == after


# --- Taking one in


def test_the_form_suggests_tag_and_day_and_a_number_of_its_own(crew: Client) -> None:
    a_hull("H-6")
    html = crew.get("/hulls/new/").content.decode()
    assert re.search(r'name="tag" value="H-7"', html)
    assert re.search(rf'name="arrived_on" value="{timezone.localdate().isoformat()}"', html)
    assert re.search(r'name="client_id" value="[0-9a-f-]{36}"', html)


def test_a_hull_is_taken_in_with_its_owner_and_the_first_line_of_its_log(crew: Client) -> None:
    response = crew.post("/hulls/new/", typed())
    assert (response.status_code, response["Location"]) == (302, "/hulls/H-7/"), errors_of(response)
    hull = Hull.objects.get()
    assert (hull.tag, hull.name, hull.owner.name, hull.owner.email) == ("H-7", "Kestrel", "Ada Reed", "ada@example.org")
    # 16 ft 2 in and 34 1/2 in by the international foot of 0.3048 m and inch of 25.4 mm, exactly
    assert [hull.length_m, hull.beam_m] == pytest.approx([4.9276, 0.8763])
    (line,) = Entry.objects.all()
    assert (line.kind, line.details) == ("arrived", {"old_finish": ["skin", "inside"]})
    assert list(differences()) == []


def test_a_hull_that_came_days_ago_arrived_in_the_first_minute_of_that_day(crew: Client) -> None:
    day = timezone.localdate() - timedelta(days=9)
    crew.post("/hulls/new/", typed(arrived_on=day.isoformat()))
    assert Entry.objects.get().at == datetime.combine(day, datetime.min.time(), UTC)


def test_an_owner_whom_the_shop_knows_is_not_written_down_again(crew: Client) -> None:
    known = Owner.objects.create(name="Junia Marsh", phone="555 0101")
    response = crew.post("/hulls/new/", typed(owner=known.pk, owner_name="", owner_email="", owner_phone=""))
    assert response.status_code == 302, errors_of(response)
    assert (Owner.objects.count(), Hull.objects.get().owner, known.phone) == (1, known, "555 0101")


def test_sent_twice_it_takes_in_one(crew: Client) -> None:
    answers = [crew.post("/hulls/new/", typed(client_id=ID)) for _ in range(2)]
    assert [(answer.status_code, answer["Location"]) for answer in answers] == [(302, "/hulls/H-7/")] * 2
    assert (Hull.objects.count(), Owner.objects.count(), Entry.objects.count()) == (1, 1, 1)


YESTERDAY = (timezone.localdate() - timedelta(days=1)).isoformat()
TOMORROW = (timezone.localdate() + timedelta(days=1)).isoformat()
BAD = [
    ({"length_m": "2 ft"}, "length_m", "A canoe is between 2.4 m (8 ft) and 10.7 m (35 ft) long"),
    ({"length_m": "2.39 m"}, "length_m", "A canoe is between 2.4 m (8 ft) and 10.7 m (35 ft) long"),
    ({"length_m": "60 ft"}, "length_m", "A canoe is between 2.4 m (8 ft) and 10.7 m (35 ft) long"),
    ({"length_m": "4.9"}, "length_m", "has no unit"),
    ({"length_m": "-16 ft"}, "length_m", "is negative"),
    ({"length_m": "long"}, "length_m", "is not a length"),
    ({"length_m": ""}, "length_m", "This field is required."),
    ({"length_m": "8 ft", "beam_m": "6 ft"}, "beam_m", "The beam must be less than half the length."),
    ({"beam_m": "17 ft"}, "beam_m", "A canoe is between 0.5 m (20 in) and 2 m (79 in) wide"),
    ({"depth_m": "34 in", "beam_m": "30 in"}, "depth_m", "The depth amidships must be less than the beam."),
    ({"end_depth_m": "9 in"}, "end_depth_m", "The ends must stand at least as high"),
    ({"promised_on": YESTERDAY}, "promised_on", "That is before it arrived."),
    ({"arrived_on": TOMORROW}, "arrived_on", "That day has not come yet."),
    ({"arrived_on": "1000-01-01"}, "arrived_on", "Look at the year."),
    ({"promised_on": "9999-01-01"}, "promised_on", "Look at the year."),
    ({"promised_on": "9999-12-31"}, "promised_on", "Look at the year."),
    ({"promised_on": "1900-01-01"}, "promised_on", "That is before it arrived."),
    ({"arrived_on": "soon"}, "arrived_on", "Enter a valid date."),
    ({"owner_name": ""}, "owner_name", "Write whose boat it is, or choose an owner above."),
    ({"owner_name": "n" * 81}, "owner_name", "at most 80 characters"),
    ({"owner": "999"}, "owner", "Select a valid choice."),
    ({"owner_email": "ada at home"}, "owner_email", "Enter a valid email address."),
    ({"tag": ""}, "tag", "This field is required."),
    ({"tag": "H 7"}, "tag", "Letters, digits, dots, dashes and slashes"),
    ({"tag": "H" * 17}, "tag", "at most 16 characters"),
    ({"tag": "h-1"}, "tag", "The shop has a hull with this tag already."),
    ({"tag": "new"}, "tag", "no word of an address"),
    ({"tag": "a/../b"}, "tag", "Letters, digits, dots, dashes and slashes"),
    ({"tag": "7/change"}, "tag", "no word of an address"),
    ({"tag": "7-"}, "tag", "Letters, digits, dots, dashes and slashes"),
    ({"name": "n" * 61}, "name", "at most 60 characters"),
    ({"notes": "n" * 4001}, "notes", "at most 4000 characters"),
    ({"notes": "bell \x07"}, "notes", "characters that cannot be shown"),
    ({"wood": "cedar \u202e"}, "wood", "characters that cannot be shown"),
    ({"colour": "green"}, "colour", "Like #2f5d46."),
    ({"filler": "putty"}, "filler", "Select a valid choice."),
    ({"priority": "9"}, "priority", "Select a valid choice."),
    ({"old_finish": ["mast"]}, "old_finish", "Select a valid choice."),
]


@pytest.mark.parametrize(("changes", "field", "message"), BAD)
def test_bad_input_is_answered_beside_its_field_and_nothing_is_half_written(
    crew: Client, changes: dict[str, Any], field: str, message: str
) -> None:
    a_hull("H-1")
    before = (Hull.objects.count(), Owner.objects.count(), Entry.objects.count())
    response = crew.post("/hulls/new/", typed(**changes))
    assert response.status_code == 422
    assert message in errors_of(response).get(field, ""), errors_of(response)
    assert set(errors_of(response)) == {field}
    assert (Hull.objects.count(), Owner.objects.count(), Entry.objects.count()) == before
    assert "16&#x27; 2&quot;" in response.content.decode() or "length_m" in changes


@pytest.mark.parametrize("length", ["8 ft", "35 ft", "2.4 m", "10.7 m"])
def test_a_canoe_at_the_limit_of_length_comes_in(crew: Client, length: str) -> None:
    response = crew.post("/hulls/new/", typed(length_m=length, end_depth_m="23 in"))
    assert response.status_code == 302, errors_of(response)


def test_what_was_typed_is_shown_escaped(crew: Client) -> None:
    evil = "<script>alert(1)</script>"
    html = crew.post("/hulls/new/", typed(name=evil, length_m="2 ft")).content.decode()
    assert 'value="&lt;script&gt;alert(1)&lt;/script&gt;"' in html
    assert evil not in html


def test_without_a_published_route_it_says_so_and_keeps_nothing(crew: Client) -> None:
    Route.objects.update(current=False)
    response = crew.post("/hulls/new/", typed())
    assert response.status_code == 422
    assert "No route is published yet." in words(response.content.decode())
    assert (Hull.objects.count(), Owner.objects.count()) == (0, 0)


def test_a_wall_screen_takes_nothing_in_and_changes_nothing(crew: Client) -> None:
    a_hull("H-1")
    screen = Client()
    screen.force_login(a_crew_member("wall", Role.LOOK))
    assert screen.get("/hulls/new/").status_code == 403
    assert screen.post("/hulls/new/", typed()).status_code == 403
    assert screen.post("/hulls/H-1/change/", typed()).status_code == 403
    assert Hull.objects.count() == 1


def test_other_methods_are_turned_away(crew: Client) -> None:
    a_hull("H-1")
    assert crew.put("/hulls/new/").status_code == 405
    assert crew.delete("/hulls/H-1/change/").status_code == 405


# --- Changing one


def changed(**changes: Any) -> dict[str, Any]:
    return typed(arrived_on=None, old_finish=None, **changes)


def test_the_form_shows_a_hull_back_in_the_shops_units(crew: Client) -> None:
    in_us_units()
    a_hull("H-1", length_m=4.9276, beam_m=0.8763)
    html = crew.get("/hulls/H-1/change/").content.decode()
    assert 'name="length_m" value="16 ft 2 in"' in html
    assert 'name="beam_m" value="34 1/2 in"' in html
    assert 'name="owner_name" value="Ada Reed"' in html
    assert 'name="arrived_on"' not in html


def test_particulars_are_changed_and_the_owners_with_them(crew: Client) -> None:
    hull = a_hull("H-1")
    response = crew.post("/hulls/H-1/change/", changed(tag="H-1B", name="Tern", owner_phone="555 0199"))
    assert (response.status_code, response["Location"]) == (302, "/hulls/H-1B/"), errors_of(response)
    hull.refresh_from_db()
    assert (hull.tag, hull.name, hull.owner.phone, Owner.objects.count()) == ("H-1B", "Tern", "555 0199", 1)


def test_a_length_that_nobody_touched_stays_to_the_last_digit(crew: Client) -> None:
    hull = a_hull("H-1", length_m=4.91234567)
    crew.post("/hulls/H-1/change/", changed(tag="H-1", length_m="4.91 m", beam_m="0.9 m"))
    hull.refresh_from_db()
    assert hull.length_m == 4.91234567
    assert hull.beam_m == pytest.approx(0.9)


def test_a_boat_may_change_hands(crew: Client) -> None:
    hull, other = a_hull("H-1"), Owner.objects.create(name="Junia Marsh")
    crew.post("/hulls/H-1/change/", changed(tag="H-1", owner=other.pk))
    hull.refresh_from_db()
    assert hull.owner == other
    assert Owner.objects.get(name="Ada Reed").email == "owner@example.org"


@pytest.mark.parametrize("day", ["9999-12-31", "1900-01-01"])
def test_a_promise_out_of_all_reason_is_refused_when_it_is_changed_too(crew: Client, day: str) -> None:
    promised = a_hull("H-1").promised_on
    response = crew.post("/hulls/H-1/change/", changed(tag="H-1", promised_on=day))
    assert response.status_code == 422
    assert set(errors_of(response)) == {"promised_on"}
    assert day in response.content.decode()
    assert Hull.objects.get().promised_on == promised


def test_a_bad_change_is_answered_beside_its_field_and_keeps_all_as_it_was(crew: Client) -> None:
    hull = a_hull("H-1")
    response = crew.post("/hulls/H-1/change/", changed(tag="H-1", length_m="60 ft", owner_name="Someone Else"))
    assert (response.status_code, set(errors_of(response))) == (422, {"length_m"})
    assert 'value="60 ft"' in response.content.decode()
    hull.refresh_from_db()
    assert (hull.length_m, Owner.objects.get().name) == (4.9, "Ada Reed")


def test_a_filler_that_is_on_is_no_longer_chosen(crew: Client) -> None:
    hull = a_primed_hull("H-1", coat_at=timezone.now() - timedelta(days=2))
    crew.post("/hulls/H-1/change/", changed(tag="H-1", filler="oil"))
    hull.refresh_from_db()
    assert hull.filler == "oil"  # there is primer on it, but no filler
    filler = hull.work.coats.get()
    filler.product = type(filler.product).objects.get(kind="oil_filler", usual=True)
    filler.save()
    assert "The work is past this choice." in words(crew.get("/hulls/H-1/change/").content.decode())
    crew.post("/hulls/H-1/change/", changed(tag="H-1", filler="latex"))
    hull.refresh_from_db()
    assert hull.filler == "oil"


def test_an_unknown_hull_is_not_found(crew: Client) -> None:
    assert crew.get("/hulls/H-9/change/").status_code == 404


def test_a_tag_that_another_took_just_now_is_refused_and_nothing_is_changed() -> None:
    a_shop()
    a_hull("H-1")
    late = a_hull("H-2")
    late.tag, late.name = "H-1", "Tern"
    with pytest.raises(EngineError, match="has a hull with this tag already") as refused:
        change_hull(hull=late)
    assert refused.value.field == "tag"
    assert Hull.objects.get(pk=late.pk).tag == "H-2"


def test_the_type_and_the_rocker_are_kept_and_the_rocker_may_be_left_out_again(crew: Client) -> None:
    crew.post("/hulls/new/", typed(hull_type="river", rocker_m="2 in"))
    hull = Hull.objects.get(tag="H-7")
    assert (hull.hull_type, hull.rocker_m) == ("river", pytest.approx(0.0508))

    crew.post("/hulls/H-7/change/", typed(hull_type="flat", rocker_m=""))

    hull.refresh_from_db()
    assert (hull.hull_type, hull.rocker_m) == ("flat", None)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"rocker_m": "11 in"}, "rocker_m", "The rocker of a canoe is between"),
        ({"rocker_m": "4 in"}, "rocker_m", "more than a quarter of the depth"),
        ({"hull_type": "barge"}, "hull_type", "Select a valid choice"),
    ],
)
def test_a_rocker_or_type_that_no_canoe_has_is_told_beside_it(
    crew: Client, changes: dict[str, str], field: str, words: str
) -> None:
    response = crew.post("/hulls/new/", typed(**changes))

    assert response.status_code == 422
    assert words in errors_of(response)[field]

"""The pages of estimates and change orders on the shop's side."""

import io
import re
from decimal import Decimal
from html import unescape
from typing import Any
from uuid import uuid4

import pypdf
import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hulls.models import Estimate, Hull
from shop.models import Pack, Role, Shop
from shop.units import UnitSystem, format_volume
from stages.audit import differences
from stages.models import Entry
from stages.services import notes
from tests.answers import Answer
from tests.factories import a_crew_member, hand, the_shop_owner
from tests.stages.charging import (
    a_change_order,
    a_draft,
    a_sent_estimate,
    a_shop_that_charges,
    a_surveyed_hull,
    answered,
)

pytestmark = pytest.mark.django_db
PAGE, CHANGE = "/hulls/H-1/estimate/", "/hulls/H-1/change-order/"


@pytest.fixture
def shop() -> Shop:
    return a_shop_that_charges()


@pytest.fixture
def hull(shop: Shop) -> Hull:
    return a_surveyed_hull(ribs=4)


@pytest.fixture
def crew(client: Client, shop: Shop) -> Client:
    client.force_login(a_crew_member())
    return client


def the_boss() -> Client:
    client = Client()
    client.force_login(the_shop_owner())
    return client


def words(answer: Answer) -> str:
    html = re.sub(r"(?s)<script.*?</script>", "", answer.content.decode())
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def typed(client: Client, path: str = PAGE, **other: Any) -> dict[str, Any]:
    """What a browser would send of the page's form, with something typed over it."""
    form = client.get(path).context["form"]
    first = {bound.html_name: bound.value() for bound in form}
    return {name: "" if value is None else value for name, value in first.items()} | other


def errors(answer: Answer) -> dict[str, list[str]]:
    return {name: list(map(str, found)) for name, found in answer.context["form"].errors.items()}


# --- Working it out


def test_the_page_shows_what_the_owner_would_read_and_keeps_nothing(crew: Client, hull: Hull) -> None:
    answer = crew.get(PAGE)
    assert answer.status_code == 200
    assert "Ribs 6.5 h EUR 390.00" in words(answer)
    assert "4 × 1.5 h" in words(answer)
    assert not Estimate.objects.exists()


def test_what_is_typed_is_kept_as_the_draft_and_can_be_sent(crew: Client, hull: Hull) -> None:
    data = typed(crew, hours_ribs="8,5", lump_0_words="Caning", lump_0_price="EUR 1 200.50", words="Dear Ada")
    assert crew.post(PAGE, data).status_code == 302
    draft = Estimate.objects.get()
    lines = {line.key or line.words: line for line in draft.sums.lines}
    assert lines["ribs"].amount == Decimal("8.5")
    assert ("Set by hand, instead of", "6.5 h") in [(b.what, b.value) for b in lines["ribs"].because]
    assert lines["Caning"].total == Decimal("1200.50")
    page = crew.get(PAGE)
    sending = {"draft": draft.pk, "client_id": page.context["client_id"]}
    assert crew.post(f"{PAGE}send/", sending)["Location"] == f"/hulls/H-1/estimates/{draft.pk}/"
    assert crew.post(f"{PAGE}send/", sending)["Location"] == f"/hulls/H-1/estimates/{draft.pk}/", "sent twice is one"
    assert Entry.objects.filter(hull=hull, kind="estimate").count() == 1
    assert "Sent estimate E-1, version 1" in words(crew.get("/hulls/H-1/"))


def test_untouched_hours_stay_reckoned(crew: Client, hull: Hull) -> None:
    crew.post(PAGE, typed(crew))
    assert Estimate.objects.get().asked["hours"] == {}


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("hours_ribs", "-1", "zero or more"),
        ("hours_ribs", "1001", "0 to 1000"),
        ("hours_ribs", "many", "no number"),
        ("lump_0_price", "-5", "zero or more"),
        ("lump_0_price", "10.001", "part of the smallest coin"),
        ("lump_0_price", "1,200", "read in two ways"),
        ("lump_0_price", "cheap", "“cheap” holds no number"),
        ("price_0", "0", "over zero"),
        ("off_price", "99999999", "more than what is charged"),
    ],
)
def test_bad_figures_are_told_by_their_field_with_what_was_typed_still_there(
    crew: Client, hull: Hull, field: str, value: str, says: str
) -> None:
    data = typed(crew, lump_0_words="Caning", off_words="A friend", **{"words": "Dear Ada", field: value})
    if field != "lump_0_price":
        data["lump_0_price"] = "5"
    if field != "off_price":
        data["off_price"] = "1"
    answer = crew.post(PAGE, data)
    assert answer.status_code == 422
    assert says in errors(answer)[field][0]
    html = answer.content.decode()
    assert f'value="{value}"' in html
    assert "Dear Ada" in html
    assert not Estimate.objects.exists()


def test_an_amount_needs_its_words_and_words_their_amount(crew: Client, hull: Hull) -> None:
    assert set(errors(crew.post(PAGE, typed(crew, lump_0_price="5", lump_1_words="Caning")))) == {
        "lump_0_words",
        "lump_1_price",
    }


def test_without_a_rate_the_page_says_what_to_set_and_where(crew: Client, hull: Hull) -> None:
    Shop.objects.update(hourly_rate=0)
    shop = Shop.objects.get()
    shop.save()
    assert "set the hourly rate" in words(crew.get(PAGE))
    assert "/admin/shop/charging/" in the_boss().get(PAGE).content.decode()


def test_an_approved_estimate_is_shown_instead_of_its_form(crew: Client, hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    answered(sent)
    assert crew.get(PAGE)["Location"] == f"/hulls/H-1/estimates/{sent.pk}/"


@pytest.mark.parametrize("draft", ["", "x", "999"])
def test_sending_what_is_no_draft_sends_nothing(crew: Client, hull: Hull, draft: str) -> None:
    answer = crew.post(f"{PAGE}send/", {"draft": draft, "client_id": uuid4()})
    assert answer.status_code in (302, 404)
    assert not Entry.objects.filter(kind="estimate").exists()


@pytest.mark.parametrize("path", ["estimate/", "estimates/1/", "estimates/1/pdf/", "change-order/"])
def test_a_hull_that_the_shop_has_not_is_a_404(crew: Client, path: str) -> None:
    assert crew.get(f"/hulls/H-99/{path}").status_code == 404


def test_another_hull_s_estimate_is_not_shown_here(crew: Client, hull: Hull) -> None:
    other = a_sent_estimate(a_surveyed_hull("H-2"))
    assert crew.get(f"/hulls/H-1/estimates/{other.pk}/").status_code == 404
    assert crew.get(f"/hulls/H-1/estimates/{other.pk}/pdf/").status_code == 404


def test_a_draft_has_no_page_of_its_own(crew: Client, hull: Hull) -> None:
    assert crew.get(f"/hulls/H-1/estimates/{a_draft(hull).pk}/").status_code == 404


@pytest.mark.parametrize("boats", [1, 12])
def test_the_page_takes_the_same_queries_however_many_boats_taught_the_hours(
    crew: Client, hull: Hull, boats: int
) -> None:
    for n in range(boats):
        other = a_surveyed_hull(f"L-{n}")
        other.work.stage_states.create(stage="ribs", hours=7.0, finished_at=other.work.arrived_at)
    crew.get(PAGE)
    with CaptureQueriesContext(connection) as asked:
        crew.get(PAGE)
    assert len(asked) == 14, [query["sql"] for query in asked]


# --- What was sent


def test_what_was_sent_is_shown_with_its_digest_and_prints_on_both_papers(crew: Client, hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    path = f"/hulls/H-1/estimates/{sent.pk}/"
    assert sent.digest[:16] in words(crew.get(path))
    for query, width in (("", 595.3), ("?paper=letter", 612.0)):
        answer = crew.get(f"{path}pdf/{query}")
        assert answer["Content-Type"] == "application/pdf"
        pages = pypdf.PdfReader(io.BytesIO(answer.content)).pages
        assert float(pages[0].mediabox.width) == pytest.approx(width, abs=0.5)
        text = " ".join(page.extract_text() for page in pages)
        assert "E-1" in text
        assert "4 × 1.5 h" in text
        assert sent.digest in text.replace("\n", "").replace(" ", "")


@pytest.mark.parametrize("part", ["words", "total"])
def test_what_was_altered_since_it_was_sent_is_neither_shown_nor_printed(crew: Client, hull: Hull, part: str) -> None:
    sent = a_sent_estimate(hull)
    sent.body["lines"][0][part] = "1.00"
    Estimate.objects.filter(pk=sent.pk).update(body=sent.body)
    page = f"/hulls/H-1/estimates/{sent.pk}/"
    for path in (page, f"{page}pdf/"):
        answer = crew.get(path)
        assert answer.status_code == 409
        assert "not what was sent" in words(answer)


def test_amounts_read_in_the_units_of_the_shop_beside_those_of_their_price(crew: Client, hull: Hull) -> None:
    Shop.objects.update(units="us")
    Pack.objects.update(price=Decimal(20))
    line = next(line for line in a_sent_estimate(hull).sums.lines if line.unit == "L")
    us = format_volume(float(line.amount), UnitSystem.US)
    sent = Estimate.objects.get(hull=hull)
    assert f"{us} ({line.amount.normalize()} L)" in words(crew.get(f"/hulls/H-1/estimates/{sent.pk}/"))


def test_the_shop_s_owner_writes_down_a_yes_by_word_of_mouth_and_crew_cannot(crew: Client, hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    path = f"/hulls/H-1/estimates/{sent.pk}/"
    told = {"client_id": uuid4(), "name": "Ada Reed", "answer": "yes", "how": "by telephone"}
    assert crew.post(path, told).status_code == 403
    assert errors(the_boss().post(path, {**told, "how": ""}))["how"]
    assert the_boss().post(path, told).status_code == 302
    line = Entry.objects.filter(hull=hull, kind="estimate").latest("number")
    assert (line.details["what"], line.details["how"], line.by) == ("approved", "by telephone", the_shop_owner())
    assert list(differences()) == []


def test_the_shop_s_owner_withdraws_it_once(crew: Client, hull: Hull) -> None:
    sent = a_sent_estimate(hull)
    path = f"/hulls/H-1/estimates/{sent.pk}/withdraw/"
    assert crew.post(path, {"client_id": uuid4()}).status_code == 403
    assert the_boss().post(path, {"client_id": "x"}, follow=True).status_code == 200
    assert Estimate.objects.get().is_open
    for _ in range(2):
        the_boss().post(path, {"client_id": uuid4()})
    assert Estimate.objects.get().answer == "withdrawn"
    assert Entry.objects.filter(hull=hull, kind="estimate").count() == 2


def test_what_waits_for_an_answer_is_listed(crew: Client, hull: Hull) -> None:
    assert "has its answer" in words(crew.get("/estimates/"))
    a_sent_estimate(hull)
    assert "H-1 Estimate, version 1 E-1 waits for the owner's answer" in words(crew.get("/estimates/"))


# --- Change orders


def test_a_find_leads_to_a_change_order_that_is_filled_in(crew: Client, hull: Hull) -> None:
    answered(a_sent_estimate(hull))
    find = {"client_id": uuid4(), "damage": "ribs", "count": 2, "note": "at the bow", "ask_owner": "on"}
    answer = crew.post("/hulls/H-1/do/find/", find)
    line = Entry.objects.get(hull=hull, kind="found").number
    assert (answer.status_code, answer["Location"]) == (303, f"{CHANGE}?find={line}")
    form = crew.get(answer["Location"]).context["form"]
    assert form["words"].value() == "2 ribs. at the bow"
    assert (form["hours"].value(), form["stages"].value()) == ("3", ["ribs"])


def test_a_find_that_brings_a_new_step_asks_for_all_of_its_hours(crew: Client, hull: Hull) -> None:
    found = notes.add_find(hull_id=hull.pk, damage="stems", count=1, hand=hand())
    assert found.entry is not None
    form = crew.get(f"{CHANGE}?find={found.entry.number}").context["form"]
    assert (form["hours"].value(), form["stages"].value()) == ("4.5", ["stems"])


def test_a_find_without_asking_goes_back_to_the_sheet(crew: Client, hull: Hull) -> None:
    find = {"client_id": uuid4(), "damage": "ribs", "count": 2}
    assert crew.post("/hulls/H-1/do/find/", find)["Location"] == "/hulls/H-1/"


def test_by_htmx_a_find_sends_the_whole_page_on(crew: Client, hull: Hull) -> None:
    find = {"client_id": uuid4(), "damage": "ribs", "count": 2, "ask_owner": "on"}
    answer = crew.post("/hulls/H-1/do/find/", find, headers={"HX-Request": "true"})
    assert answer["HX-Redirect"].startswith(CHANGE)


def test_a_change_order_is_sent_once(crew: Client, hull: Hull) -> None:
    data = typed(crew, CHANGE, words="Rot", hours="2", stages=["ribs"])
    for _ in range(2):
        assert crew.post(CHANGE, data)["Location"] == "/hulls/H-1/"
    assert Estimate.objects.get().stages == ["ribs"]


def test_a_change_order_that_cannot_be_keeps_what_was_typed(crew: Client, hull: Hull) -> None:
    answer = crew.post(CHANGE, typed(crew, CHANGE, words="Rot in the bow", hours="2", materials="1.234", stages=[]))
    assert answer.status_code == 422
    assert set(errors(answer)) == {"materials", "stages"}
    assert "Rot in the bow" in answer.content.decode()
    nothing = crew.post(CHANGE, typed(crew, CHANGE, words="Rot", stages=["ribs"]))
    assert "An estimate needs a line" in errors(nothing)["hours"][0]


@pytest.mark.parametrize("find", ["1", "999", "x", "9" * 30])
def test_a_line_that_tells_of_no_find_fills_nothing_in(crew: Client, hull: Hull, find: str) -> None:
    assert crew.get(f"{CHANGE}?find={find}").context["form"]["words"].value() == ""


def test_the_wall_screen_sees_no_money(hull: Hull) -> None:
    order = a_change_order(hull)
    wall = Client()
    wall.force_login(a_crew_member("wall", Role.LOOK))
    assert "108.00" not in words(wall.get("/hulls/H-1/")).split("Log")[0]
    assert wall.get(f"/hulls/H-1/estimates/{order.pk}/").status_code == 403

"""A tap says that a coat is still tacky or dry, from the button on the sheet to the clock that learns from it."""

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.test import Client

from shop.models import Product, Pulse, Role
from stages.models import CoatOn, Entry
from tests.factories import a_crew_member, a_hull, a_shop, product
from tests.stages.at_work import a_primed_hull

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)
HTMX = {"HX-Request": "true"}


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(NOON, tick=False):
        yield


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    a_primed_hull("H-8", coat_at=NOON - timedelta(hours=14))
    client.force_login(a_crew_member())
    return client


def tap(client: Client, action: str, *, htmx: bool = True, **fields: Any) -> Any:
    sent = {"client_id": uuid4(), "about": "prime", "stage": "prime", "surface": "skin", **fields}
    return client.post(f"/hulls/H-8/do/{action}/", sent, headers=HTMX if htmx else {})


def words(response: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def seen() -> list[Entry]:
    return list(Entry.objects.filter(kind="seen").order_by("number"))


def buttons(html: str) -> list[str]:
    """The words on the buttons beside a step that say what was found."""
    part = re.search(r'<fieldset class="tried">(.*?)</fieldset>', html, re.DOTALL)
    return re.findall(r'<button type="submit"[^>]*>([^<]+)</button>', part[1]) if part else []


def test_a_coat_that_is_sanded_between_offers_tacky_and_sands_clean(crew: Client) -> None:
    assert buttons(crew.get("/hulls/H-8/").content.decode()) == ["Still tacky", "Sands clean"]


def test_one_that_is_not_sanded_offers_dry(crew: Client) -> None:
    Product.objects.filter(kind="primer").update(sand_between=False)
    Pulse.bump(setup=True)
    assert buttons(crew.get("/hulls/H-8/").content.decode()) == ["Still tacky", "Dry"]


def test_a_hull_without_a_coat_on_its_step_offers_nothing(crew: Client) -> None:
    a_hull("H-1")
    assert buttons(crew.get("/hulls/H-1/").content.decode()) == []


def test_a_sanded_coat_is_not_tried_again(crew: Client) -> None:
    CoatOn.objects.update(sanded_at=NOON - timedelta(hours=1))
    Pulse.bump()
    assert buttons(crew.get("/hulls/H-8/").content.decode()) == []


@pytest.mark.parametrize(
    ("action", "says"),
    [
        ("tacky", "High-build primer, alkyd on the skin tried: still too soft to be sanded."),
        ("dry", "High-build primer, alkyd on the skin tried: dry enough to be sanded."),
    ],
)
def test_a_tap_is_recorded_and_the_sheet_comes_back_with_a_word_on_it(crew: Client, action: str, says: str) -> None:
    response = tap(crew, action)
    assert response.status_code == 200
    assert says in words(response)
    (line,) = seen()
    assert (line.details["seen"], line.details["age_h"]) == (action, 14.0)


def test_without_htmx_it_leads_back_to_the_sheet(crew: Client) -> None:
    response = tap(crew, "dry", htmx=False)
    assert (response.status_code, response.headers["Location"]) == (303, "/hulls/H-8/")
    assert len(seen()) == 1


def test_still_tacky_moves_the_time_at_which_the_floor_says_it_is_dry(crew: Client) -> None:
    assert "today 14:00" in words(crew.get("/hulls/H-8/"))
    tap(crew, "tacky")
    found = re.search(r"dry enough to be sanded today (\d\d):(\d\d)", words(crew.get("/hulls/H-8/")))
    assert found
    assert 14 < int(found[1]) + int(found[2]) / 60 < 20


def test_the_product_s_page_shows_the_factor_and_the_trials_behind_it(crew: Client) -> None:
    address = f"/products/{product('primer').pk}/"
    assert "Nothing was learnt of it yet: its label counts as it stands." in words(crew.get(address))
    tap(crew, "tacky")
    html = words(crew.get(address))
    factor = re.search(
        r"(\d\.\d\d) times the label’s hours, likely between (\d\.\d\d) and (\d\.\d\d), from 1 trial\.", html
    )
    assert factor
    assert float(factor[2]) < float(factor[1]) < float(factor[3])
    assert "H-8 today 12:00 hand Still too soft to be sanded 14 h of 16 h" in html


def test_sent_twice_it_is_one_line(crew: Client) -> None:
    once = uuid4()
    for _ in range(2):
        assert tap(crew, "dry", client_id=once).status_code == 200
    assert len(seen()) == 1


def test_tapped_by_two_it_is_one_trial(crew: Client) -> None:
    tap(crew, "dry")
    response = tap(crew, "dry")
    assert response.status_code == 409
    assert "had recorded this already" in words(response)
    assert len(seen()) == 1


def test_about_a_surface_without_a_coat_it_is_refused(crew: Client) -> None:
    response = tap(crew, "dry", surface="inside")
    assert response.status_code == 422
    assert "There was no coat on it at that time." in words(response)
    assert seen() == []


@pytest.mark.parametrize(("method", "status"), [("get", 405), ("put", 405)])
def test_another_method_is_not_answered(crew: Client, method: str, status: int) -> None:
    assert getattr(crew, method)("/hulls/H-8/do/dry/").status_code == status


def test_a_wall_screen_may_not_tap(crew: Client) -> None:
    crew.force_login(a_crew_member("wall", Role.LOOK))
    assert tap(crew, "dry").status_code == 403
    assert buttons(crew.get("/hulls/H-8/").content.decode()) == []
    assert seen() == []


def test_a_trial_can_be_struck_from_the_sheet(crew: Client) -> None:
    tap(crew, "tacky")
    sent = {"client_id": uuid4(), "about": "", "number": seen()[0].number, "reason": "the wrong boat"}
    assert crew.post("/hulls/H-8/do/strike/", sent, headers=HTMX).status_code == 200
    assert "today 14:00" in words(crew.get("/hulls/H-8/"))


# --- What was used of the pot


def coat(client: Client, **fields: Any) -> Any:
    sent = {
        "client_id": uuid4(),
        "about": "prime",
        "stage": "prime",
        "product": product("primer").pk,
        "surface": "skin",
    }
    return client.post("/hulls/H-8/do/coat/", {**sent, **fields}, headers=HTMX)


@pytest.fixture
def sanded(crew: Client) -> Iterator[Client]:
    """The primer is dry and sanded."""
    with time_machine.travel(NOON + timedelta(hours=8), tick=False):
        sent = {"client_id": uuid4(), "about": "prime", "stage": "prime", "surface": "skin"}
        assert crew.post("/hulls/H-8/do/sand/", sent, headers=HTMX).status_code == 200
        yield crew


@pytest.mark.parametrize(
    ("typed", "litres", "shown"),
    [("350 mL", 0.35, "350 mL"), ("1/2 qt", 0.473176473, "473 mL"), ("50 L", 50.0, "50.00 L")],
)
def test_the_litres_of_a_coat_are_on_its_line_and_in_the_fumes(
    sanded: Client, typed: str, litres: float, shown: str
) -> None:
    response = coat(sanded, litres=typed)
    assert response.status_code == 200, words(response)
    line = Entry.objects.filter(kind="coat").latest("number")
    assert line.details["litres"] == pytest.approx(litres)
    zone = CoatOn.objects.latest("at").zone
    assert f"H-8 High-build primer, alkyd {shown}" in words(sanded.get(f"/air/{zone.pk}/"))
    assert f"in Indoors, {shown}." in words(sanded.get("/hulls/H-8/"))


@pytest.mark.parametrize("typed", ["0 L", "50.1 L", "2 kg", "a pot", "350"])
def test_what_no_coat_takes_is_refused_beside_the_field(sanded: Client, typed: str) -> None:
    response = coat(sanded, litres=typed)
    assert response.status_code == 422
    assert "do-coat-prime-litres_error" in response.content.decode()
    assert Entry.objects.filter(kind="coat").count() == 1


def test_without_litres_a_coat_is_recorded_as_ever(sanded: Client) -> None:
    assert coat(sanded).status_code == 200
    assert "litres" not in Entry.objects.filter(kind="coat").latest("number").details

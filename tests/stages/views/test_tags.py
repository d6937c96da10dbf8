"""Labels: what a phone that reads one opens, what is chosen and refused, and that no owner's data is on them."""

import io
from datetime import timedelta
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from hulls.models import Hull
from shop.models import Lot
from stages.services.arrival import take_in_again
from tests.factories import a_crew_member, a_hull, a_shop, hand, product
from tests.stages.away import a_boat_away

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    client.force_login(a_crew_member())
    return client


def a_can(label: str = "L891") -> Lot:
    return Lot.objects.create(
        product=product("enamel"), label=label, received_on=timezone.localdate() - timedelta(days=9), holds=1
    )


def asked(*hulls: Hull, lots: tuple[Lot, ...] = (), **more: Any) -> dict[str, Any]:
    return {"hull": [hull.pk for hull in hulls], "lot": [lot.pk for lot in lots], "size": "a4-21", **more}


# --- What a code opens


def test_the_code_of_a_hull_opens_its_sheet(crew: Client) -> None:
    assert crew.get(f"/t/h{a_hull('H-9').pk}/")["Location"] == "/hulls/H-9/"


def test_the_code_of_a_hull_whose_tag_was_changed_still_opens_its_sheet(crew: Client) -> None:
    hull = a_hull("H-9")
    Hull.objects.update(tag="H-10")
    assert crew.get(f"/t/h{hull.pk}/")["Location"] == "/hulls/H-10/"


def test_the_code_of_a_boat_that_came_back_opens_what_it_is_now(crew: Client) -> None:
    before = a_boat_away()
    again = Hull(tag="H-2", owner=before.owner, arrived_on=timezone.localdate(), length_m=4.9, beam_m=0.88)
    again.depth_m, again.end_depth_m = 0.31, 0.58
    take_in_again(hull=again, before=before, hand=hand())
    assert crew.get(f"/t/h{before.pk}/")["Location"] == "/hulls/H-2/"


def test_the_code_of_a_can_opens_it(crew: Client) -> None:
    lot = a_can()
    assert crew.get(f"/t/c{lot.pk}/")["Location"] == f"/stores/lots/{lot.pk}/"


@pytest.mark.parametrize("code", ["h77", "c77", "x1", "h", "h99999999999999999999"])
def test_a_code_of_nothing_is_unknown(crew: Client, code: str) -> None:
    assert crew.get(f"/t/{code}/").status_code == 404


def test_a_phone_that_is_not_logged_in_is_led_on_after_the_log_in(crew: Client) -> None:
    hull, phone = a_hull("H-9"), Client()
    to_log_in = phone.get(f"/t/h{hull.pk}/")
    assert to_log_in["Location"] == f"/login/?next=/t/h{hull.pk}/"
    a_crew_member("phone", password="cedar and brass")
    told = {"username": "phone", "password": "cedar and brass", "next": f"/t/h{hull.pk}/"}
    answer = phone.post("/login/", told, follow=True)
    assert answer.redirect_chain[-1][0] == "/hulls/H-9/"
    assert phone.session.get_expiry_age() > 7 * 24 * 3600  # and is remembered


def test_a_code_is_only_read(crew: Client) -> None:
    assert crew.post(f"/t/h{a_hull().pk}/").status_code == 405


# --- Which to print


def test_the_page_offers_hulls_in_the_shop_and_cans_that_hold_something(crew: Client) -> None:
    a_boat_away("H-1")
    a_hull("H-2", name="Heron")
    a_can("L891")
    Lot.objects.create(product=product("enamel"), label="EMPTY", received_on=timezone.localdate())
    html = crew.get("/tags/").content.decode()
    assert "H-2 Heron" in html
    assert "L891" in html
    assert "H-1" not in html
    assert "EMPTY" not in html


def test_the_sheets_are_shown_with_nothing_of_whose_boat_it_is(crew: Client) -> None:
    hull, lot = a_hull("H-2", owner="Ada Reed", name="Heron"), a_can()
    html = crew.get("/tags/", asked(hull, lots=(lot,))).content.decode()
    assert "<svg" in html
    for private in ("Ada Reed", "owner@example.org"):
        assert private not in html


def test_the_pdf_holds_a_code_for_each_that_leads_to_this_shop(crew: Client) -> None:
    hull, lot = a_hull("H-2"), a_can()
    response = crew.get("/tags/pdf/", asked(hull, lots=(lot,), copies=2, first=20))
    assert response["Content-Type"] == "application/pdf"
    document = pypdfium2.PdfDocument(io.BytesIO(response.content))
    read = [sorted(f.text for f in zxingcpp.read_barcodes(page.render(scale=4).to_pil())) for page in document]
    of_hull, of_can = f"http://testserver/t/h{hull.pk}/", f"http://testserver/t/c{lot.pk}/"
    assert read == [[of_hull, of_hull], [of_can, of_can]]


def test_the_print_page_is_the_sheets_alone(crew: Client) -> None:
    html = crew.get("/tags/print/", asked(a_hull("H-2"))).content.decode()
    assert html.count("<svg") == 1
    assert "<nav" not in html
    assert "style=" not in html


def test_a_boat_that_left_can_still_be_given_a_label(crew: Client) -> None:
    hull = a_boat_away("H-1")
    assert "H-1" in crew.get("/tags/", {"hull": hull.pk}).content.decode()


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"size": "a4-21"}, "Choose at least one hull or can"),
        ({"size": "a4-99"}, "Choose a sheet"),
        ({"first": 22}, "This sheet has 21 labels"),
        ({"first": 0}, "greater than or equal to 1"),
        ({"copies": 21}, "less than or equal to 20"),
        ({"hull": "x"}, "not a valid value"),
        ({"lot": 9999}, "is not one of the available choices"),
    ],
)
def test_what_cannot_be_printed_is_said_beside_the_field(crew: Client, told: dict[str, Any], says: str) -> None:
    hull = a_hull("H-2")
    sent = {**(asked() if told == {"size": "a4-21"} else asked(hull)), **told}
    response = crew.get("/tags/", sent)
    assert response.status_code == 422
    assert says in response.content.decode()
    for way in ("print", "pdf"):
        assert crew.get(f"/tags/{way}/", sent)["Location"].startswith("/tags/?")


@pytest.mark.parametrize("way", ["", "print/", "pdf/"])
def test_labels_are_only_read(crew: Client, way: str) -> None:
    assert crew.post(f"/tags/{way}").status_code == 405


def test_it_takes_as_many_queries_for_many_hulls_and_cans_as_for_few(
    crew: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    hulls, lots = [a_hull("H-1")], [a_can()]
    crew.get("/tags/")
    with django_assert_num_queries(7):
        crew.get("/tags/", asked(*hulls, lots=tuple(lots)))
    hulls += [a_hull(f"H-{n}") for n in range(2, 9)]
    lots += [a_can(f"L{n}") for n in range(7)]
    with django_assert_num_queries(7):
        crew.get("/tags/", asked(*hulls, lots=tuple(lots)))

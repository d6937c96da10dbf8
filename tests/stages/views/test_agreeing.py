"""The boat owner's answer behind the progress link."""

from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from hulls.models import Estimate, Hull
from shop.models import Pack, Product
from stages.models import Entry
from stages.services.estimates import withdraw_estimate
from stages.services.links import withdraw_link
from tests.factories import a_crew_member, hand
from tests.stages.behind_the_link import NEVER_MADE, link_to
from tests.stages.charging import a_change_order, a_sent_estimate, a_shop_that_charges, a_surveyed_hull, answered

pytestmark = pytest.mark.django_db


@pytest.fixture
def hull() -> Hull:
    a_shop_that_charges()
    return a_surveyed_hull(ribs=4)


def sent_by_the_page(estimate: Estimate, **other: Any) -> dict[str, Any]:
    about = {"label": estimate.label, "version": estimate.version, "digest": estimate.digest}
    return {"client_id": uuid4(), "name": "Ada Reed", "answer": "yes", **about, **other}


def lines(hull: Hull) -> list[str]:
    rows = Entry.objects.filter(hull=hull, kind="estimate").order_by("number")
    return [row.details["what"] for row in rows]


def test_the_page_asks_and_a_yes_is_kept(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    page = client.get(link).content.decode()
    assert "We wait for your yes" in page
    assert sent.digest in page
    answer = client.post(f"{link}answer/", sent_by_the_page(sent))
    assert (answer.status_code, answer["Location"]) == (303, f"{link}#agreed")
    assert lines(hull) == ["sent", "approved"]
    assert "What we agreed on" in client.get(link).content.decode()


def test_what_things_cost_the_shop_is_for_the_crew_alone(client: Client, hull: Hull) -> None:
    primer = Product.objects.get(kind="primer", usual=True)
    Pack.objects.create(product=primer, called="4 L pail", amount=Decimal(4), price=Decimal(80))
    sent, link = a_sent_estimate(hull), link_to(hull)
    page = client.get(link).content.decode()
    assert primer.name in page
    assert "Amount and price" in page
    for told in ("Bought as", "4 L pail", "Mark-up"):
        assert told not in page
    client.force_login(a_crew_member())
    seen = client.get(f"/hulls/{hull.tag}/estimates/{sent.pk}/").content.decode()
    assert "Bought as" in seen
    assert "Mark-up" in seen


def test_a_no_is_kept_too(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    client.post(f"{link}answer/", sent_by_the_page(sent, answer="no"))
    assert lines(hull) == ["sent", "declined"]
    assert "declined by Ada Reed" in client.get(link).content.decode()


def test_the_answer_keeps_the_address_secret_and_makes_no_cookie(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    answer = client.post(f"{link}answer/", sent_by_the_page(sent))
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "no-store" in answer["Cache-Control"]
    assert not client.cookies


def test_it_needs_no_csrf_cookie_since_only_the_address_opens_it(hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(f"{link}answer/", sent_by_the_page(sent)).status_code == 303


def test_the_same_answer_sent_twice_is_one(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    data = sent_by_the_page(sent)
    for again in (data, data, sent_by_the_page(sent)):
        assert client.post(f"{link}answer/", again).status_code == 303
    assert lines(hull) == ["sent", "approved"]


def test_without_a_name_it_is_refused_beside_the_field(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    answer = client.post(f"{link}answer/", sent_by_the_page(sent, name=" "))
    assert answer.status_code == 422
    assert "Write your name" in answer.content.decode()
    assert lines(hull) == ["sent"]


def test_a_change_order_has_the_owner_s_name_filled_in_and_an_estimate_has_not(client: Client, hull: Hull) -> None:
    a_sent_estimate(hull)
    a_change_order(hull)
    page = client.get(link_to(hull)).content.decode()
    assert page.count('value="Ada Reed"') == 1


@pytest.mark.parametrize(
    "altered",
    [{"digest": "0" * 64}, {"version": 2}, {"label": "E-7"}, {"version": "x"}, {"client_id": "x"}, {"answer": "maybe"}],
)
def test_an_altered_form_agrees_to_nothing(client: Client, hull: Hull, altered: dict[str, Any]) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    answer = client.post(f"{link}answer/", sent_by_the_page(sent, **altered))
    assert answer.status_code == 422
    assert 'class="late"' in answer.content.decode()
    assert lines(hull) == ["sent"]


def test_an_outdated_version_is_refused_and_the_new_one_stands_there(client: Client, hull: Hull) -> None:
    first, link = a_sent_estimate(hull), link_to(hull)
    second = a_sent_estimate(hull, words="A later thought")
    answer = client.post(f"{link}answer/", sent_by_the_page(first))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "A later version was sent since" in page
    assert second.digest in page, "what they answer now is the later one"
    assert lines(hull) == ["sent", "sent"]


def test_a_withdrawn_one_is_refused_in_words(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    withdraw_estimate(hull_id=hull.pk, estimate=sent.pk, hand=hand())
    answer = client.post(f"{link}answer/", sent_by_the_page(sent))
    assert answer.status_code == 422
    assert "The shop has withdrawn it" in answer.content.decode()


def test_what_was_altered_since_it_was_sent_is_not_shown_and_cannot_be_agreed_to(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    sent.body["lines"][0]["total"] = "1.00"
    Estimate.objects.filter(pk=sent.pk).update(body=sent.body)
    page = client.get(link)
    assert page.status_code == 200
    assert "is not what it was" in page.content.decode()
    assert sent.digest not in page.content.decode()
    assert client.get(f"{link}agreement/{sent.pk}/").status_code == 409
    assert client.post(f"{link}answer/", sent_by_the_page(sent)).status_code == 422
    assert lines(hull) == ["sent"]


def test_another_boat_s_link_answers_nothing_of_this_one(client: Client, hull: Hull) -> None:
    sent, other = a_sent_estimate(hull), a_surveyed_hull("H-2")
    assert client.post(f"{link_to(other)}answer/", sent_by_the_page(sent)).status_code == 422
    assert client.get(f"{link_to(other)}agreement/{sent.pk}/").status_code == 404
    assert lines(hull) == ["sent"]


def test_a_withdrawn_link_and_one_never_made_answer_alike(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    withdraw_link(hull_id=hull.pk, hand=hand())
    gone = client.post(f"{link}answer/", sent_by_the_page(sent))
    never = client.post(f"/p/{NEVER_MADE}/answer/", sent_by_the_page(sent))
    assert gone.status_code == never.status_code == 404
    assert gone.content == never.content
    assert lines(hull) == ["sent"]


def test_it_is_only_sent_and_never_read(client: Client, hull: Hull) -> None:
    assert client.get(f"{link_to(hull)}answer/").status_code == 405


def test_the_owner_reads_it_as_a_pdf(client: Client, hull: Hull) -> None:
    sent, link = a_sent_estimate(hull), link_to(hull)
    answer = client.get(f"{link}agreement/{sent.pk}/?paper=letter")
    assert answer.content.startswith(b"%PDF")
    assert "no-store" in answer["Cache-Control"]


def test_what_was_answered_is_shown_and_asked_no_more(client: Client, hull: Hull) -> None:
    answered(a_sent_estimate(hull))
    page = client.get(link_to(hull)).content.decode()
    assert "We wait for your yes" not in page
    assert "approved by Ada Reed" in page

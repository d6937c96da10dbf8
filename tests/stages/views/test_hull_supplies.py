"""The supplies of a hull in work: what its open steps still take, each amount with its sum, prices for the owner."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.models import Pack, Product, Role
from tests.factories import a_crew_member, a_hull, a_shop, product
from tests.stages.at_work import a_primed_hull

pytestmark = pytest.mark.django_db

PAGE = "/hulls/H-8/supplies/"


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(a_crew_member())
    return client


def text(client: Client, address: str = PAGE) -> str:
    response = client.get(address)
    assert response.status_code == 200
    return response.content.decode()


def test_a_new_hull_needs_the_whole_list_and_every_amount_opens_to_its_sum(crew: Client) -> None:
    a_shop()
    a_hull("H-8")
    html = text(crew)
    for name in (product("canvas").name, product("enamel").name, product("latex_filler").name, "Brass canoe tacks"):
        assert name in html
    assert html.count('<details class="takes__one"') == html.count("takes__sums")
    assert "spreading rate of one coat" in html
    assert "The survey is not finished" in html


def test_what_is_on_the_hull_is_not_needed_again(crew: Client) -> None:
    a_shop()
    hull = a_primed_hull("H-8", coat_at=timezone.now() - timedelta(hours=4))
    html = text(crew, f"/hulls/{hull.tag}/supplies/")
    assert product("enamel").name in html
    assert product("canvas").name not in html
    assert product("latex_filler").name not in html
    assert product("preservative").name not in html


def test_a_product_without_its_rate_is_named_and_said_how_to_mend(crew: Client) -> None:
    a_shop()
    a_hull("H-8")
    Product.objects.filter(kind="preservative").update(spread_m2_per_unit=None, dry_film_um=None)
    html = text(crew)
    assert "Too little is on record" in html
    assert "preservative" in html.split("Too little is on record")[1]


def test_prices_are_shown_to_the_shop_s_owner_alone(client: Client) -> None:
    a_shop()
    a_hull("H-8")
    Pack.objects.filter(product=product("enamel")).update(price=Decimal("31.57"))
    client.force_login(a_crew_member("one of the crew", Role.CREW))
    assert "as far as they have a price" not in text(client)
    client.force_login(a_crew_member("the owner", Role.OWNER))
    assert "as far as they have a price" in text(client)


def test_it_takes_as_many_queries_for_full_shelves_as_for_bare_ones(crew: Client) -> None:
    a_shop()
    a_hull("H-8")
    text(crew)
    with CaptureQueriesContext(
        connection,
    ) as many:
        text(crew)
    Product.objects.exclude(kind__in=["canvas", "enamel"]).update(active=False)
    text(crew)
    with CaptureQueriesContext(connection) as few:
        text(crew)
    assert len(many) == len(few)


def test_an_unknown_hull_is_not_found_and_nothing_can_be_sent(crew: Client) -> None:
    a_shop()
    a_hull("H-8")
    assert crew.get("/hulls/H-9/supplies/").status_code == 404
    assert crew.post(PAGE).status_code == 405


def test_whoever_only_looks_on_is_refused(client: Client) -> None:
    a_shop()
    a_hull("H-8")
    client.force_login(a_crew_member("a screen", Role.LOOK))
    assert client.get(PAGE).status_code == 403

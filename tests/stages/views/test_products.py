"""The page of one product: its label, its film and solvent, and how far a pot goes."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Product, Pulse, Role, Shop
from tests.factories import a_crew_member, a_shop, product
from tests.stages.at_work import many_hulls

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(client: Client) -> Client:
    client.force_login(a_crew_member())
    return client


def change(**values: object) -> Product:
    """The primer with other values."""
    Product.objects.filter(pk=product("primer").pk).update(**values)
    Pulse.bump(setup=True)
    return product("primer")


def page(client: Client, row: Product, query: str = "") -> str:
    response = client.get(f"/products/{row.pk}/{query}")
    assert response.status_code == 200
    return response.content.decode()


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_it_gives_the_label_with_its_condition(crew: Client) -> None:
    a_shop()
    html = words(page(crew, product("primer")))
    assert "At 23.0 °C and 50 %, the label’s own condition" in html
    assert "Tack-free 3 h 3 h Dry to sand 16 h 16 h" in html
    assert "Recoat window closes 336 h 336 h" in html
    assert "2 times as fast for each 10 °C more" in html
    assert "7.0 °C to 35.0 °C, at most 85 % humidity" in html


def test_a_thicker_film_takes_longer_here(crew: Client) -> None:
    a_shop()
    assert "Dry to sand 16 h 24 h" in words(page(crew, change(film_factor=1.5)))


def test_it_shows_the_label_s_own_table(crew: Client) -> None:
    a_shop()
    html = words(page(crew, change(label_table=[[23, 16], [10, 36]])))
    assert "10.0 °C 36 h 23.0 °C 16 h" in html
    assert "By the label’s own table" in html


def test_it_says_what_can_hurt_and_who_governs(crew: Client) -> None:
    a_shop()
    html = page(crew, product("primer"))
    assert "Solvent fumes: ventilate" in html
    assert html.count("General information only.") == 1


def test_what_does_not_dry_has_no_hours(crew: Client) -> None:
    a_shop()
    html = page(crew, product("canvas"))
    assert "It needs no time to dry, or its label is not on record." in html


def test_it_gives_the_solvent_with_its_source(crew: Client) -> None:
    a_shop()
    html = words(
        page(
            crew,
            change(
                solvent_g_l=390.0,
                solvent_density_kg_l=0.78,
                solvent_molar_g=142.0,
                solvent_lel_pct=0.7,
                solvent_source="SDS of 2024",
            ),
        )
    )
    assert "390 g in a litre, 50 % of the volume" in html
    assert "0.7 % of the air" in html
    assert "SDS of 2024" in html


# --- How far a pot goes


def test_a_pot_by_the_rule_of_the_spreading_rate(crew: Client) -> None:
    a_shop()
    # 1000 VS / DFT: 50 % solids at 50 µm dry spread 10 m² a litre, 9 by brush; 18 m² take 2 L; wet 100 µm, thinned by
    # a tenth 110 µm.
    html = words(page(crew, product("primer"), "?area=18&dry_film=50&solids=50&thinner=10&tool=brush"))
    assert "Product 2.00 L Thinner 200 mL Lay it wet 110 µm It spreads 9.0 m²/L Without any loss 10.0 m²/L" in html


def test_a_pot_in_us_units(crew: Client) -> None:
    Shop.objects.filter(pk=a_shop().pk).update(units="us")
    Pulse.bump(setup=True)
    # A gallon covers 1604 ft² a thousandth of an inch deep: 50 % solids at 2 mil dry spread 401 ft², 361 by brush.
    html = words(page(crew, product("primer"), "?area=361&dry_film=2&solids=50&tool=brush"))
    assert "Product 1.00 gal" in html
    assert "Lay it wet 4.0 thousandths of an inch It spreads 361 ft²/gal Without any loss 401 ft²/gal" in html


def test_the_data_sheet_fills_the_form(crew: Client) -> None:
    a_shop()
    html = page(crew, change(solids_pct=52.0, dry_film_um=45.0))
    assert re.search(r'name="solids" value="52.0"', html)
    assert re.search(r'name="dry_film" value="45.0"', html)


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("area=0&dry_film=50&solids=50&tool=brush", "area"),
        ("area=much&dry_film=50&solids=50&tool=brush", "area"),
        ("area=5&dry_film=2001&solids=50&tool=brush", "dry_film"),
        ("area=5&dry_film=50&solids=101&tool=brush", "solids"),
        ("area=5&dry_film=50&solids=50&thinner=101&tool=brush", "thinner"),
        ("area=5&dry_film=50&solids=50&tool=spoon", "tool"),
    ],
)
def test_what_no_pot_can_be_is_refused_beside_its_field(crew: Client, query: str, field: str) -> None:
    a_shop()
    html = page(crew, product("primer"), f"?{query}")
    assert f'id="film-{field}_error"' in html
    assert html.count('class="errorlist"') == 1
    assert "It spreads" not in html


@pytest.mark.parametrize(
    "query", ["area=0.01&dry_film=50&solids=100&tool=roller", "area=5&dry_film=2000&solids=1&thinner=100&tool=spray"]
)
def test_a_pot_at_the_limits_is_reckoned(crew: Client, query: str) -> None:
    a_shop()
    assert "It spreads" in page(crew, product("primer"), f"?{query}")


# --- Who, how, and what it costs


def test_an_unknown_product_is_not_found(crew: Client) -> None:
    a_shop()
    assert crew.get("/products/999/").status_code == 404


def test_only_reading_is_answered_and_only_to_those_with_a_log_in(client: Client) -> None:
    a_shop()
    address = f"/products/{product('primer').pk}/"
    assert client.get(address).headers["Location"] == f"/login/?next={address}"
    client.force_login(a_crew_member("wall", Role.LOOK))
    assert client.get(address).status_code == 200
    assert client.post(address).status_code == 405


@pytest.mark.parametrize("count", [12, 120])
def test_it_takes_the_same_queries_whatever_the_number_of_hulls(crew: Client, count: int) -> None:
    a_shop()
    many_hulls(count)
    page(crew, product("primer"))
    primer = product("primer")
    with CaptureQueriesContext(connection) as queries:
        page(crew, primer)
    assert [name for query in queries for name in re.findall(r'FROM "(\w+)"', query["sql"])[:1]] == [
        "shop_pulse",
        "django_session",
        "shop_crewmember",
        "shop_product",
        "stages_entry",  # its trials; one more where there are some
    ]

"""What to buy, in words: amounts in metric and US units, sums that come to the amount, prices where known."""

from decimal import Decimal

import pytest

from hulls.lines import Principal, measure
from hulls.takeoff import Material, Pack, TakeOff, take_off
from shop.units import UnitSystem, parse_amount, parse_length
from stages.advice import Job
from stages.advice.work import work_of
from stages.engine.vocab import Damage
from stages.queries.supplies_needs import Needs, amount_words, needs_of
from tests.stages.advice.boat import a_job

METRIC, US = UnitSystem.METRIC, UnitSystem.US
SIZES = measure(Principal(length_m=4.88, beam_m=0.876, depth_m=0.3175, end_depth_m=0.61))


def materials(price: str | None = None) -> list[Material]:
    cost = Decimal(price) if price else None
    return [
        Material(
            name="Duck",
            kind="canvas",
            unit="m",
            duck_number=10,
            packs=(Pack(amount=1, called="m", roll_width_in=60.0),),
        ),
        Material(
            name="Filler",
            kind="latex_filler",
            spread_m2_per_unit=5,
            loss=0.1,
            packs=(Pack(amount=3.785, called="pail", price=cost),),
        ),
        Material(name="Enamel", kind="enamel", spread_m2_per_unit=14, packs=(Pack(amount=0.946, called="can"),)),
    ]


def taken(job: Job | None = None, price: str | None = None) -> TakeOff:
    return take_off(SIZES, work_of(job or a_job()), materials(price))


def needs(units: UnitSystem = METRIC, currency: str | None = None, price: str | None = None) -> Needs:
    return needs_of(taken(price=price), units, currency)


@pytest.mark.parametrize(
    ("value", "unit", "metric", "us"),
    [
        (3.785411784, "L", "3.79 L", "1.00 gal"),  # the US gallon of 231 cubic inches, exactly
        (0.45359237, "kg", "454 g", "1.00 lb"),  # the international pound of 1959, exactly
        (0.3048, "m", "30.5 cm", "12 in"),
        (9.290304, "m2", "9.29 m²", "100.0 ft²"),  # the square foot, 0.09290304 m²
        (40.7458, "m2/L", "40.7 m²/L", "1,660 ft²/gal"),  # 1 m²/L is 40.7458 ft²/gal
        (0.0339057, "kg/m2", "0.0339 kg/m²", "1 oz/yd²"),  # 1 oz/yd² is 33.9057 g/m²
        (0.15, "m2/pc", "0.15 m² each", "1.6 ft² each"),
        (1000, "pc/kg", "1000", "1000"),
        (12, "pc", "12", "12"),
        (3.5, "", "3.5", "3.5"),
    ],
)
def test_an_amount_reads_in_metric_and_in_us_units(value: float, unit: str, metric: str, us: str) -> None:
    assert amount_words(value, unit, METRIC) == metric
    assert amount_words(value, unit, US).replace("1660", "1,660") == us


def test_every_sum_begins_with_a_size_and_its_numbers_come_to_the_amount() -> None:
    filler = next(row for row in needs().rows if row.what == "Filler")
    item = next(item for item in taken().items if item.product == "Filler")
    assert filler.sizes.startswith("Canvas on the hull")
    assert len(filler.sums) == 1
    assert filler.sums[0].startswith(filler.sizes)
    assert parse_amount(filler.amount).value == pytest.approx(item.amount, rel=0.005)
    # Three coats, the first for one and a half, at 5 m²/L with a tenth lost: from the words on the page.
    assert item.amount == pytest.approx(SIZES.outside_area_m2 * 3.5 / 5 / 0.9, rel=1e-6)


def test_the_blank_of_canvas_is_told_with_its_length_width_and_weight() -> None:
    found = needs()
    canvas = taken().canvas
    assert canvas is not None
    assert f"{canvas.blank_length_m:.2f} m long" in found.canvas[0]
    assert "From a roll of 60 in" in found.canvas[1]
    assert parse_length(next(row.amount for row in found.rows if row.what == "Duck")) == pytest.approx(
        canvas.blank_length_m, abs=0.005
    )


def test_the_other_rolls_that_would_do_are_told_with_what_their_blank_weighs() -> None:
    wider = Material(
        name="Lighter duck", kind="canvas", unit="m", duck_number=12, packs=(Pack(amount=1, roll_width_in=84.0),)
    )
    found = take_off(SIZES, work_of(a_job()), [*materials(), wider])
    assert found.canvas is not None
    # No. 12 duck: 7 oz for 36 by 22 in, by the rule of the standard for numbered cotton duck.
    kg = found.canvas.blank_length_m * 84 * 0.0254 * 7 * 0.028349523125 / (36 * 22 * 0.0254**2)
    assert f"These would do too: Lighter duck, 84 in wide, {kg:.2f} kg." in needs_of(found, METRIC, None).canvas


def test_tacks_are_told_by_weight_and_by_count() -> None:
    tacks = Material(name="Tacks", kind="tacks", unit="kg", pieces_per_kg=800.0)
    found = take_off(SIZES, work_of(a_job()), [*materials(), tacks])
    item = next(item for item in found.items if item.product == "Tacks")
    row = next(row for row in needs_of(found, METRIC, None).rows if row.what == "Tacks")
    assert row.amount == f"{item.amount * 1000:.0f} g, {item.pieces} pieces"
    assert row.packs == "no pack of it is known"


def test_stock_that_is_too_short_for_a_piece_is_told_so() -> None:
    ash = Material(name="Ash", kind="timber", unit="m", part="outwales", packs=(Pack(amount=2.0),))
    found = take_off(SIZES, work_of(a_job(counts={Damage.OUTWALES: 2})), [*materials(), ash])
    row = next(row for row in needs_of(found, METRIC, None).rows if row.what == "Ash")
    assert row.packs == "no length on record is long enough"


def test_what_the_shop_has_too_little_on_record_of_is_named() -> None:
    assert {"primer", "varnish", "preservative"} <= set(needs().unknown)


def test_prices_stay_away_where_the_shop_shows_none_or_knows_none() -> None:
    assert not any(row.price for row in needs(price="31.50").rows)
    assert needs(price="31.50").total == ""
    assert needs(currency="CAD").total == ""


def test_the_total_is_that_of_the_priced_packs_to_the_cent() -> None:
    found = needs(currency="CAD", price="31.50")
    filler = next(item for item in taken(price="31.50").items if item.product == "Filler")
    packs = sum(packed.count for packed in filler.packs)
    assert found.total == f"CAD\xa0{packs * Decimal('31.50')}"
    assert [row.what for row in found.rows if row.price] == ["Filler"]


def test_the_work_is_that_of_the_steps_on_the_page() -> None:
    work = work_of(a_job(counts={Damage.RIBS: 4}))
    assert (work.canvas, work.refit, work.wash, work.ribs, work.planks) == (True, True, True, 4, 0)
    assert work.strips == ("inside",)
    coats = {(coats.surface, coats.kind): coats.coats for coats in work.coats}
    assert coats[("skin", "latex_filler")] == 3
    assert coats[("skin", "enamel")] == 3
    assert ("skin", "canvas") not in coats

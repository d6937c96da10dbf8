"""What a product's form lets through, and that the dry clock can read all of it; no database."""

import math
from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from shop.models import COATINGS, Pack, Product, ProductKind
from shop.setup.products import PRODUCTS
from shop.setup.shelves import PACKS
from shop.setup.supplies import SUPPLIES
from stages.engine.fumes import Solvent
from stages.engine.label import Dryness
from stages.engine.vocab import ProductKind as EngineKind
from stages.queries.world import engine_product

HOURS = ("tack_free_h", "sand_h", "recoat_h", "topcoat_h", "handle_h", "window_h")
SOLVENT = {
    "solvent_g_l": 400.0,
    "solvent_density_kg_l": 0.78,
    "solvent_molar_g": 142.0,
    "solvent_lel_pct": 0.7,
    "solvent_source": "SDS",
}


def a_product(**values: Any) -> Product:
    return Product(**{"id": 1, "name": "Primer", "kind": "primer", "family": "oxidative", "recoat_h": 16.0, **values})


def check(product: Product) -> None:
    product.full_clean(validate_unique=False, validate_constraints=False)


def refused(field: str, **values: Any) -> list[str]:
    with pytest.raises(ValidationError) as error:
        check(a_product(**values))
    assert set(error.value.message_dict) == {field}
    return error.value.message_dict[field]


def test_a_product_with_its_whole_label_passes() -> None:
    check(a_product(label_table=[[10, 36], [23, 16], [35, 9]], window_h=336.0, activation_kj_mol=45.0, **SOLVENT))


@pytest.mark.parametrize("window_h", [15.9, 16.0])
def test_a_recoat_window_that_closes_before_it_opens_is_refused(window_h: float) -> None:
    assert "closes after it opens" in refused("window_h", window_h=window_h)[0]


def test_a_recoat_window_that_closes_after_it_opens_passes() -> None:
    check(a_product(window_h=16.1))


@pytest.mark.parametrize(
    "table",
    [
        "10:36",
        [10, 36],
        [[10]],
        [[10, 36, 1]],
        [["10", "36"]],
        [[10, 0]],
        [[10, -1]],
        [[-31, 5]],
        [[61, 5]],
        [[10, math.inf]],
        [[10, math.nan]],
        [[True, 5]],
        {"10": 36},
        [[10, 36], [10.0, 30]],
    ],
)
def test_a_table_that_no_label_prints_is_refused(table: Any) -> None:
    assert refused("label_table", label_table=table)


@pytest.mark.parametrize("table", [[], [[10, 36]], [[-30, 0.01], [60, 5000]]])
def test_a_table_at_its_ends_passes(table: Any) -> None:
    check(a_product(label_table=table))


@pytest.mark.parametrize(
    ("field", "values"),
    [
        ("reference_c", {"reference_c": 4.9}),
        ("highest_c", {"highest_c": 5.0}),
        ("solvent_g_l", {**SOLVENT, "solvent_g_l": 780.1}),
        ("solvent_source", {**SOLVENT, "solvent_source": ""}),
        ("solvent_molar_g", {**SOLVENT, "solvent_molar_g": None}),
    ],
)
def test_values_that_contradict_one_another_are_refused(field: str, values: dict[str, Any]) -> None:
    assert refused(field, **values)


@pytest.mark.parametrize("values", [{"reference_c": 5.0}, {"highest_c": 5.1}, {**SOLVENT, "solvent_g_l": 780.0}])
def test_values_that_just_agree_pass(values: dict[str, Any]) -> None:
    check(a_product(**values))


@pytest.mark.parametrize("kind", [kind.value for kind in ProductKind if kind not in COATINGS])
def test_what_is_no_coating_needs_no_hours(kind: str) -> None:
    check(a_product(kind=kind, family="", recoat_h=None))


@pytest.mark.parametrize("kind", [kind for kind in COATINGS if kind is not ProductKind.CANVAS])
def test_every_coating_needs_its_hours(kind: ProductKind) -> None:
    assert refused("recoat_h", kind=kind.value, recoat_h=None)


def test_the_engine_knows_the_coatings_and_no_other_kind() -> None:
    assert {kind.value for kind in EngineKind} == {kind.value for kind in COATINGS}


@pytest.mark.parametrize("values", [*PRODUCTS, *SUPPLIES], ids=lambda values: values["name"])
def test_what_a_new_shop_starts_with_passes_its_own_form(values: dict[str, Any]) -> None:
    check(Product(**values))


def test_every_product_of_a_new_shop_comes_in_packs_that_hold_something() -> None:
    assert set(PACKS) == {values["name"] for values in (*PRODUCTS, *SUPPLIES)}
    for packs in PACKS.values():
        for called, amount, *width in packs:
            pack = Pack(called=called, amount=Decimal(amount), roll_width_in=width[0] if width else None)
            pack.full_clean(exclude=["product"], validate_constraints=False)


some_hours = st.one_of(st.none(), st.floats(0.01, 5000.0))
temperatures = st.floats(-35.0, 65.0)


@given(
    values=st.fixed_dictionaries(
        {
            **dict.fromkeys(HOURS, some_hours),
            "family": st.sampled_from(["oxidative", "water", "solvent"]),
            "reference_c": temperatures,
            "lowest_c": temperatures,
            "reference_rh_pct": st.floats(-5.0, 105.0),
            "q10": st.floats(0.5, 7.0),
            "activation_kj_mol": st.one_of(st.none(), st.floats(0.0, 400.0)),
            "film_factor": st.floats(0.0, 20.0),
            "label_table": st.lists(st.lists(st.floats(-40.0, 70.0), min_size=2, max_size=2), max_size=4),
        }
    )
)
def test_whatever_passes_the_form_the_dry_clock_can_read(values: dict[str, Any]) -> None:
    product = a_product(**values)
    try:
        check(product)
    except ValidationError:
        return
    label = engine_product(product).label
    assert (label is None) == (not any(values[name] for name in HOURS[:5]))
    if label:
        assert label.table == tuple(sorted((celsius, hours) for celsius, hours in values["label_table"]))
        assert label.hours_to(Dryness.RECOAT) == (
            values["recoat_h"] * values["film_factor"] if values["recoat_h"] else None
        )


def test_a_solvent_that_passes_the_form_can_be_reckoned_with() -> None:
    product = a_product(**SOLVENT)
    check(product)
    assert Solvent(
        density_kg_l=SOLVENT["solvent_density_kg_l"],  # type: ignore[arg-type]
        molar_g=SOLVENT["solvent_molar_g"],  # type: ignore[arg-type]
        lel_pct=SOLVENT["solvent_lel_pct"],  # type: ignore[arg-type]
        source="SDS",
    )

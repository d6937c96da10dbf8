"""The take-off of one hull: every amount is the sum that is shown, and missing knowledge is named."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.takeoff import Coats, Item, TakeOff, Work, take_off, worth
from tests.hulls.takeoff.materials import ALL, a_canoe, instead, without
from tests.hulls.takeoff.materials import ENAMEL as ENAMEL_PAINT

ENAMEL = Coats(surface="skin", kind="enamel", coats=3)
FILLER = Coats(surface="skin", kind="latex_filler", coats=3)
works = st.builds(
    Work,
    coats=st.lists(st.sampled_from([ENAMEL, FILLER]), unique=True).map(tuple),
    canvas=st.booleans(),
    ribs=st.integers(0, 40),
    outwales=st.integers(0, 2),
)


def item(found: TakeOff, name: str) -> Item:
    return next(item for item in found.items if item.product == name)


@given(work=works)
def test_every_amount_is_what_its_own_terms_come_to(work: Work) -> None:
    for found in take_off(a_canoe(), work, ALL).items:
        assert found.amount == pytest.approx(worth(found.because))
        assert found.amount > 0
        assert found.for_what


@given(work=works)
def test_more_hull_needs_no_less_of_anything(work: Work) -> None:
    small, large = (take_off(a_canoe(length_ft=feet), work, ALL) for feet in (14, 18))
    for before, after in zip(small.items, large.items, strict=True):
        assert after.product == before.product
        assert after.amount >= before.amount


def test_coats_are_area_over_what_a_litre_really_covers() -> None:
    sizes = a_canoe()
    found = item(take_off(sizes, Work(coats=(ENAMEL,)), ALL), "enamel")
    # Practical spreading rate = theoretical (1 - loss), as coatings calculation bulletins give it.
    assert found.amount == pytest.approx(3 * sizes.outside_area_m2 / (10.0 * (1 - 0.2)))
    assert found.unit == "L"


def test_the_first_coat_of_filler_counts_for_more_since_the_canvas_drinks_it() -> None:
    sizes = a_canoe()
    one, three = (
        item(take_off(sizes, Work(coats=(Coats(surface="skin", kind="latex_filler", coats=n),)), ALL), "latex filler")
        for n in (1, 3)
    )
    assert one.amount > sizes.outside_area_m2 / 5.0
    assert three.amount < 3 * one.amount


def test_a_product_without_its_spreading_rate_is_reckoned_from_its_solids_and_film() -> None:
    by_film = instead(ENAMEL_PAINT, spread_m2_per_unit=None, solids=0.5, dry_film_um=50.0)
    # 50 % of solids and 50 µm: 10.0 m² a litre, the worked example of the metric spreading-rate formula.
    assert item(take_off(a_canoe(), Work(coats=(ENAMEL,)), by_film), "enamel").amount == pytest.approx(
        item(take_off(a_canoe(), Work(coats=(ENAMEL,)), ALL), "enamel").amount
    )


@pytest.mark.parametrize("kind", ["enamel", "latex_filler", "rags", "gloves", "filter", "solvent", "tacks", "timber"])
def test_a_kind_that_the_shop_has_no_product_of_is_named_and_not_left_out_in_silence(kind: str) -> None:
    work = Work(coats=(FILLER, ENAMEL), canvas=True, ribs=1)
    found = take_off(a_canoe(), work, without(kind))
    assert kind in found.unknown
    assert kind not in {item.kind for item in found.items}
    assert not take_off(a_canoe(), work, ALL).unknown


def test_nothing_to_do_needs_nothing() -> None:
    found = take_off(a_canoe(), Work(), ALL)
    assert (found.canvas, found.items, found.unknown) == (None, (), ())


def test_tacks_are_told_by_weight_and_by_count() -> None:
    sizes = a_canoe()
    tacks = next(item for item in take_off(sizes, Work(canvas=True), ALL).items if item.kind == "tacks")
    # Every 1 1/2 in along both sheers, every 3/4 in up both stems in two rows, a tenth over: by the tape.
    pieces = 1.1 * (2 * sizes.sheer_length_m / 0.0381 + 2 * 2 * sizes.stem_length_m / 0.01905)
    assert tacks.unit == "kg"
    assert tacks.pieces == math.ceil(pieces)
    assert {item.pieces for item in take_off(sizes, Work(coats=(ENAMEL,)), ALL).items} == {None}


def test_outwales_come_out_of_lengths_that_are_long_enough() -> None:
    found = item(take_off(a_canoe(), Work(outwales=2), ALL), "outwale stock")
    assert [(count.pack.amount, count.count) for count in found.packs] == [(6.0, 2)]


def test_stock_that_is_too_short_is_not_offered() -> None:
    found = item(take_off(a_canoe(length_ft=20, beam_in=37), Work(outwales=2), ALL), "outwale stock")
    assert found.amount > 12.0
    assert found.packs == ()


def test_sheets_are_whole_and_the_last_coat_is_not_sanded() -> None:
    sizes = a_canoe()
    found = item(take_off(sizes, Work(coats=(ENAMEL,)), ALL), "sheet P320")
    assert found.amount == -(-2 * sizes.outside_area_m2 // 1.5)

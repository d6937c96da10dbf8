"""The usual products on usual hulls, against what shops say: common practice, no published source."""

import pytest

from hulls.lines import Sizes
from hulls.materials import usual_materials
from hulls.takeoff import USUAL_WORK, Coats, Item, Work, take_off
from tests.hulls.takeoff.materials import a_canoe

US_GALLON_L, US_QUART_L = 3.785411784, 0.946352946
USUAL = usual_materials()
SIXTEEN_TO_EIGHTEEN = {16: (34.5, 12.5), 17: (36, 13), 18: (37, 13)}
CANOES = [a_canoe(feet, beam, depth) for feet, (beam, depth) in SIXTEEN_TO_EIGHTEEN.items()]
OIL_FILLED = Work(coats=(Coats(surface="skin", kind="oil_filler", coats=2),), canvas=True)


def of_kind(kind: str, work: Work, sizes: Sizes) -> Item:
    found = take_off(sizes, work, USUAL)
    return next(item for item in found.items if item.kind == kind)


@pytest.mark.parametrize("sizes", CANOES)
def test_a_sixteen_to_eighteen_foot_hull_takes_what_shops_say(sizes: Sizes) -> None:
    assert of_kind("latex_filler", USUAL_WORK, sizes).amount <= US_GALLON_L  # one pail, three coats
    assert of_kind("enamel", USUAL_WORK, sizes).amount == pytest.approx(1.0, abs=0.25)  # three coats, about a litre
    assert of_kind("oil_filler", OIL_FILLED, sizes).amount == pytest.approx(US_GALLON_L, rel=0.2)  # about a gallon
    assert [found.count for found in of_kind("oil_filler", OIL_FILLED, sizes).packs] == [1]
    assert of_kind("preservative", USUAL_WORK, sizes).amount >= US_GALLON_L  # at least a gallon


@pytest.mark.parametrize("sizes", CANOES)
def test_a_roll_of_sixty_inches_covers_every_canoe_but_a_big_freighter(sizes: Sizes) -> None:
    canvas = take_off(sizes, USUAL_WORK, USUAL).canvas
    assert canvas is not None
    assert canvas.cloth is not None
    assert (canvas.roll_width_in, canvas.cloth.duck_number) == (60.0, 10)


def test_a_big_freighter_needs_a_wider_cloth_which_is_a_lighter_one() -> None:
    canvas = take_off(a_canoe(20, 46, 18, 28), USUAL_WORK, USUAL).canvas
    assert canvas is not None
    assert canvas.cloth is not None
    assert canvas.roll_width_in is not None
    assert canvas.roll_width_in > 60
    assert canvas.cloth.duck_number == 12
    assert "lighter" in canvas.advice


def test_the_usual_tacks_are_of_brass_five_eighths_or_three_quarters_of_an_inch() -> None:
    tacks = [material for material in USUAL if material.kind == "tacks"]
    assert {round((material.length_mm or 0) / 25.4, 3) for material in tacks} == {0.625, 0.75}
    assert all("Brass" in material.name for material in tacks)


@pytest.mark.parametrize("sizes", CANOES)
def test_everything_that_the_usual_work_asks_for_is_on_the_usual_shelves(sizes: Sizes) -> None:
    work = Work(coats=USUAL_WORK.coats, canvas=True, ribs=1, planks=1, stems=1, inwales=1, decks=1, outwales=1, seats=1)
    found = take_off(sizes, work, USUAL)
    assert found.unknown == ()
    assert all(item.packs for item in found.items)

"""Duck by its number, the blank's weight, and grains by their grade, against published numbers."""

import pytest

from hulls.takeoff import Material, TakeOffError, duck_kg_m2, take_off
from hulls.takeoff.grades import GRAIN_UM
from hulls.takeoff.work import Work
from tests.hulls.takeoff.materials import DUCK, a_canoe, a_pack

OZ_A_SQUARE_YARD = 0.03390575  # kg/m², exact
# The number is 19 less the ounces of 36 by 22 in: US Commerce Department's standard for numbered cotton duck.
WEIGHTS = {1: 29.45, 2: 27.82, 3: 26.18, 4: 24.55, 5: 22.91, 6: 21.27, 8: 18.00, 10: 14.73, 12: 11.45}
# FEPA 43 and ISO 6344, as secondary tables give them.
GRAINS = {60: 269, 80: 201, 100: 162, 120: 125, 150: 100, 180: 82, 220: 68, 240: 58.5, 320: 46.2, 400: 35.0, 1200: 15.3}


@pytest.mark.parametrize(("number", "oz"), WEIGHTS.items())
def test_the_weight_follows_from_the_number(number: int, oz: float) -> None:
    assert duck_kg_m2(number) / OZ_A_SQUARE_YARD == pytest.approx(oz, abs=0.005)


def test_number_ten_weighs_fourteen_to_fifteen_ounces() -> None:
    """Common practice, no published source."""
    assert 14 < duck_kg_m2(10) / OZ_A_SQUARE_YARD < 15


def test_a_worked_blank_of_number_ten_weighs_what_the_rule_gives() -> None:
    assert 5.2 * 1.52 * duck_kg_m2(10) == pytest.approx(3.946, abs=0.001)


@pytest.mark.parametrize("number", [0, 7, 9, 11, 13, -1])
def test_a_number_that_is_not_made_is_refused(number: int) -> None:
    with pytest.raises(TakeOffError) as refused:
        duck_kg_m2(number)
    assert refused.value.field == "number"


@pytest.mark.parametrize(("grit", "um"), GRAINS.items())
def test_grains_are_those_of_the_standard(grit: int, um: float) -> None:
    assert GRAIN_UM[grit] == um


def test_a_grit_of_another_scale_is_refused() -> None:
    with pytest.raises(TakeOffError):
        Material(name="sheet", kind="abrasive", unit="pc", grit=330)


def test_the_narrowest_roll_that_is_wide_enough_is_taken_and_the_others_are_told() -> None:
    canvas = take_off(a_canoe(), Work(canvas=True), [DUCK]).canvas
    assert canvas is not None
    assert canvas.roll_width_in == 60
    assert [other.roll_width_in for other in canvas.others] == [72]


def test_a_hull_that_no_roll_is_wide_enough_for_is_told_so() -> None:
    narrow = Material(name="duck", kind="canvas", unit="m", duck_number=10, packs=(a_pack(1, roll_width_in=48.0),))
    found = take_off(a_canoe(), Work(canvas=True), [narrow])
    assert found.canvas is not None
    assert found.canvas.roll_width_in is None
    assert found.canvas.weight_kg is None
    assert "canvas" in found.unknown
    assert "No roll" in found.canvas.advice


def test_the_blank_goes_over_both_ends_and_both_sides() -> None:
    sizes = a_canoe()
    canvas = take_off(sizes, Work(canvas=True), [DUCK]).canvas
    assert canvas is not None
    assert canvas.blank_length_m > sizes.length_m + 0.3
    assert canvas.width_needed_m > sizes.greatest_girth_m + 0.05

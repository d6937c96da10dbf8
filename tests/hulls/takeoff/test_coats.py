"""What one coat takes: by hand from area and rate, and coat upon coat what the take-off of all of them says."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.materials import usual_materials
from hulls.takeoff import Coats, Material, Work, coat_amount, take_off
from tests.hulls.takeoff.materials import DUCK, ENAMEL, LATEX, a_canoe, a_pack

BRUSHED = [found for found in usual_materials() if found.covers_m2 and found.kind != "canvas"]
SURFACES = ("planking", "skin", "inside", "brightwork")
OZ_KG, YARD_M, FOOT_M, INCH_M = 0.028349523125, 0.9144, 0.3048, 0.0254  # exact, by their definitions


def test_a_coat_takes_the_area_over_the_spreading_rate_and_what_is_lost_on_top() -> None:
    sizes = a_canoe()
    # Practical spreading rate = theoretical (1 - loss), as coatings calculation bulletins give it.
    assert coat_amount(ENAMEL, "skin", sizes) == pytest.approx(sizes.outside_area_m2 / (10.0 * (1 - 0.2)))


def test_the_first_coat_of_latex_filler_takes_half_as_much_again() -> None:
    sizes = a_canoe()  # how much the weave drinks: common practice, no published source
    later = coat_amount(LATEX, "skin", sizes)
    assert later == pytest.approx(sizes.outside_area_m2 / 5.0)
    assert coat_amount(LATEX, "skin", sizes, first=True) == pytest.approx(1.5 * sizes.outside_area_m2 / 5.0)


@given(
    material=st.sampled_from(BRUSHED),
    surface=st.sampled_from(SURFACES),
    coats=st.integers(1, 6),
    feet=st.integers(14, 18),
)
def test_coat_upon_coat_comes_to_the_take_off_of_all_of_them(
    material: Material, surface: str, coats: int, feet: int
) -> None:
    sizes = a_canoe(feet)
    work = Work(coats=(Coats(surface=surface, kind=material.kind, coats=coats),))
    (item,) = (item for item in take_off(sizes, work, (material,)).items if item.product == material.name)
    each = [coat_amount(material, surface, sizes, first=not number) for number in range(coats)]
    assert sum(one for one in each if one) == pytest.approx(item.amount)


def test_a_coat_of_canvas_is_the_blank_along_the_sheer_and_a_foot_for_each_clamp() -> None:
    sizes = a_canoe()
    # A foot at either end for the clamps: common practice, no published source.
    assert coat_amount(DUCK, "skin", sizes) == pytest.approx(sizes.sheer_length_m + 2 * FOOT_M)


def test_canvas_by_the_square_metre_or_the_kilogram_takes_the_width_of_its_roll_along() -> None:
    sizes = a_canoe()
    area_m2 = (sizes.sheer_length_m + 2 * FOOT_M) * 60 * INCH_M
    assert coat_amount(replace(DUCK, unit="m2"), "skin", sizes) == pytest.approx(area_m2)
    # Number 10 weighs 14.73 oz a square yard, in the table of numbered duck of the US Commerce Department's standard.
    kg = area_m2 * 14.73 * OZ_KG / YARD_M**2
    assert coat_amount(replace(DUCK, unit="kg"), "skin", sizes) == pytest.approx(kg, rel=0.001)


def test_a_roll_that_is_too_narrow_is_not_reckoned_with_where_its_width_counts() -> None:
    narrow = replace(DUCK, unit="m2", packs=(a_pack(1, roll_width_in=36.0),))
    assert coat_amount(narrow, "skin", a_canoe()) is None
    assert coat_amount(replace(narrow, unit="m"), "skin", a_canoe()) is not None


def test_a_label_that_says_neither_how_far_nor_how_thick_gives_no_amount() -> None:
    assert coat_amount(Material(name="bare", kind="enamel"), "skin", a_canoe()) is None
    thick = Material(name="thick", kind="enamel", solids=0.5, dry_film_um=50.0)
    # 50 % of solids and 50 µm: 10.0 m² a litre, the worked example of the metric spreading-rate formula.
    assert coat_amount(thick, "skin", a_canoe()) == pytest.approx(a_canoe().outside_area_m2 / 10.0)

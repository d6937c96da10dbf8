"""What coats take as the engine asks it: by the take-off, by which coat it is, by what the shop has measured."""

from dataclasses import replace

import pytest

from stages.engine.state import StageRecord
from stages.engine.usage import coat_amount, label_amount, rest_amount
from stages.engine.vocab import ProductKind, Surface
from stages.engine.work import Work
from tests.hulls.takeoff.materials import a_canoe
from tests.stages.engine.trade import NOW, a_stage, a_work, product

SIZES = a_canoe()
FILL = a_stage("fill", coats=3, product=ProductKind.LATEX_FILLER, surface=Surface.SKIN)
FILLER = product("latex_filler")
assert FILLER.material is not None
assert FILLER.material.spread_m2_per_unit is not None
COAT_L = SIZES.outside_area_m2 / FILLER.material.spread_m2_per_unit / (1 - FILLER.material.loss)
THIRSTY_L = 1.5 * COAT_L  # the weave drinks the first one: common practice, no published source


def work(coats_on: int = 0) -> Work:
    return replace(a_work(records={"fill": StageRecord(started_at=NOW, coats_on=coats_on)}), sizes=SIZES)


def test_the_first_coat_of_a_step_takes_what_a_thirsty_surface_drinks() -> None:
    assert coat_amount(work(0), FILLER, FILL) == pytest.approx(THIRSTY_L)
    assert coat_amount(work(1), FILLER, FILL) == pytest.approx(COAT_L)


def test_what_is_still_to_come_counts_the_thirsty_coat_only_until_it_is_on() -> None:
    taken = [rest_amount(work(on), FILLER, FILL) for on in range(5)]
    assert taken[:3] == pytest.approx([THIRSTY_L + 2 * COAT_L, 2 * COAT_L, COAT_L])
    assert taken[3:] == [None, None]


def test_what_the_shop_has_measured_weighs_on_a_coat_and_not_on_its_label() -> None:
    twice = replace(FILLER, usage=2.0)
    assert coat_amount(work(1), twice, FILL) == pytest.approx(2 * COAT_L)
    assert rest_amount(work(1), twice, FILL) == pytest.approx(4 * COAT_L)
    assert label_amount(work(1), twice, FILL) == pytest.approx(COAT_L)


def test_a_coat_elsewhere_than_its_step_says_is_reckoned_where_it_goes() -> None:
    inside = SIZES.inside_area_m2 * 1.2 / SIZES.outside_area_m2  # ribs and their edges: common practice
    assert coat_amount(work(1), FILLER, FILL, Surface.INSIDE) == pytest.approx(COAT_L * inside)


def test_a_hull_without_sizes_or_a_product_without_numbers_gives_no_amount() -> None:
    assert coat_amount(replace(work(), sizes=None), FILLER, FILL) is None
    assert coat_amount(work(), replace(FILLER, material=None), FILL) is None
    assert rest_amount(work(), replace(FILLER, material=None), FILL) is None

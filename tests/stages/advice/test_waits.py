"""Waiting times in steady air, against the closed forms of the dry clock."""

import math

import pytest

from stages.advice.plan import Step
from stages.advice.waits import steady_air, waits_of
from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Family, Label
from stages.engine.products import Product
from stages.engine.route import StageSpec
from stages.engine.vocab import ProductKind, Surface
from tests.stages.advice.boat import a_job

HOURS = {Dryness.SAND: 16.0, Dryness.RECOAT: 18.0, Dryness.TOPCOAT: 20.0, Dryness.HANDLE: 48.0}
PRIME = StageSpec(key="prime", name="Prime", coats=2, product=ProductKind.PRIMER, surface=Surface.SKIN)
ENAMEL = StageSpec(key="enamel", name="Enamel", coats=1, product=ProductKind.ENAMEL, surface=Surface.SKIN)


def a_label(**more: object) -> Label:
    return Label(**{"family": Family.OXIDATIVE, "hours": HOURS, "q10": 2.0, "lowest_c": 7.0, **more})  # type: ignore[arg-type]


def a_step(
    label: Label | None, *, spec: StageSpec = PRIME, then: StageSpec | None = ENAMEL, sanded: bool = True
) -> Step:
    product = Product(id=1, name="Primer", kind=ProductKind.PRIMER, label=label, sand_between=sanded)
    return Step(spec=spec, product=product, next_coat=then)


def hours(step: Step, air_c: float, rh_pct: float = 50.0) -> dict[Dryness, float | None]:
    return {wait.dryness: wait.hours for wait in waits_of(step, steady_air(air_c, rh_pct))}


@pytest.mark.parametrize(("air_c", "times"), [(23.0, 1.0), (13.0, 2.0), (33.0, 0.5), (18.0, math.sqrt(2))])
def test_with_q10_two_it_takes_twice_as_long_for_each_ten_degrees_less(air_c: float, times: float) -> None:
    """Van 't Hoff's rule: rate doubles with 10 K."""
    found = hours(a_step(a_label()), air_c)
    assert found == pytest.approx({key: value * times for key, value in HOURS.items() if key is not Dryness.HANDLE})


@pytest.mark.parametrize(("air_c", "expected"), [(10.0, 36.0), (23.0, 16.0), (35.0, 9.0), (40.0, 9.0)])
def test_a_label_s_own_table_is_met_at_its_temperatures_and_held_at_its_end(air_c: float, expected: float) -> None:
    label = Label(family=Family.SOLVENT, hours={Dryness.RECOAT: 16}, table=((10, 36), (23, 16), (35, 9)))
    assert hours(a_step(label), air_c)[Dryness.RECOAT] == pytest.approx(expected)


@pytest.mark.parametrize(("air_c", "stands"), [(6.9, True), (7.0, False), (7.1, False)])
def test_under_the_label_s_lowest_temperature_it_stands_still(air_c: float, stands: bool) -> None:
    found = hours(a_step(a_label()), air_c)
    assert [value is None for value in found.values()] == [stands] * 3


def test_a_water_based_film_does_not_dry_in_air_that_is_full() -> None:
    label = Label(family=Family.WATER, hours={Dryness.RECOAT: 2})
    assert hours(a_step(label), 20.0, 100.0)[Dryness.RECOAT] is None
    assert hours(a_step(label), 23.0, 50.0)[Dryness.RECOAT] == pytest.approx(2.0)  # the label's own condition


def test_a_single_coat_that_nothing_covers_is_waited_for_until_it_can_be_handled() -> None:
    assert hours(a_step(a_label(), spec=ENAMEL, then=None), 23.0) == {Dryness.HANDLE: pytest.approx(48.0)}


def test_what_is_not_sanded_has_no_wait_to_sand() -> None:
    assert Dryness.SAND not in hours(a_step(a_label(), sanded=False), 23.0)


def test_a_dryness_that_the_label_is_silent_on_takes_what_stands_in_for_it() -> None:
    label = Label(family=Family.SOLVENT, hours={Dryness.RECOAT: 5})
    assert hours(a_step(label), 23.0) == pytest.approx(
        dict.fromkeys([Dryness.SAND, Dryness.RECOAT, Dryness.TOPCOAT], 5)
    )
    silent = Label(family=Family.SOLVENT, hours={Dryness.TACK_FREE: 5})
    assert hours(a_step(silent), 23.0) == {}


def test_what_needs_no_time_to_dry_has_no_waits() -> None:
    assert waits_of(a_step(None), steady_air(20, 50)) == ()
    canvas = next(step for step in a_job().steps if step.spec.key == "canvas")
    assert waits_of(canvas, steady_air(20, 50)) == ()


@pytest.mark.parametrize(("air_c", "rh_pct"), [(-50, 50), (60, 50), (20, -1), (20, 101), (math.nan, 50)])
def test_air_that_cannot_be_is_refused(air_c: float, rh_pct: float) -> None:
    with pytest.raises(EngineError):
        steady_air(air_c, rh_pct)


def test_the_shop_s_own_products_have_waits_in_the_order_in_which_they_are_met() -> None:
    steps = {step.spec.key: step for step in a_job().steps}
    air = steady_air(23.0, 50.0)
    assert [wait.dryness for wait in waits_of(steps["prime"], air)] == [Dryness.SAND, Dryness.RECOAT, Dryness.TOPCOAT]
    assert waits_of(steps["enamel"], air)[-1].dryness is Dryness.HANDLE
    assert waits_of(steps["enamel"], air)[-1].hours == pytest.approx(48.0)  # as its label says, at the label's air

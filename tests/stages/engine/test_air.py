"""Moist air against the ASHRAE table, IAPWS values and psychrolib."""

import math

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine import air
from stages.engine.errors import EngineError

psychrolib.SetUnitSystem(psychrolib.SI)
SEA_LEVEL_PA = 101325.0

# °C, Pa. ASHRAE Handbook of Fundamentals 2017, ch. 1, Table 3 (as quoted in psychrolib's own tests).
ASHRAE_TABLE_3 = [(-20.0, 103.24), (-5.0, 401.74), (5.0, 872.6), (25.0, 3169.7), (50.0, 12351.3)]
# °C, Pa. IAPWS-95 by CoolProp 8.0.0.
IAPWS_95 = [(0.01, 611.6), (10.0, 1228.2), (20.0, 2339.3), (25.0, 3169.9), (30.0, 4247.0)]
# °C, %, °C. ASHRAE 2017 ch. 1 by psychrolib 2.5.0; WMO-No. 8, Alduchov and Eskridge, MetPy and CoolProp within 0.06 K.
DEW_POINTS = [
    (5, 80, 1.84),
    (10, 50, 0.06),
    (10, 85, 7.60),
    (15, 60, 7.31),
    (16, 71, 10.75),
    (18, 55, 8.84),
    (20, 40, 6.00),
    (20, 50, 9.27),
    (20, 65, 13.23),
    (20, 85, 17.40),
    (21.1, 50, 10.28),
    (25, 50, 13.86),
    (25, 80, 21.31),
    (30, 50, 18.45),
    (30, 80, 26.17),
    (35, 70, 28.70),
]
# °C, %, surface °C, margin K, may paint. Rule: ISO 8502-4 (3 K, as named by secondary sources) and MIL-HDBK-1110
# section 9.6.6; the first row is a published case whose answer is "do not paint", the others are computed.
MARGINS = [
    (16, 71, 13, 2.25, False),
    (20, 65, 18, 4.77, True),
    (20, 85, 20, 2.60, False),
    (12, 80, 11, 2.34, False),
    (25, 50, 20, 6.14, True),
]
# °C, %, Pa. p_ws (1 - RH), ASHRAE by psychrolib 2.5.0.
DEFICITS = [
    (10, 50, 614.0),
    (10, 85, 184.2),
    (15, 60, 682.2),
    (20, 50, 1169.4),
    (20, 65, 818.6),
    (20, 80, 467.8),
    (20, 90, 233.9),
    (25, 50, 1584.6),
    (30, 50, 2123.0),
    (30, 80, 849.2),
]


@pytest.mark.parametrize(("celsius", "pascal"), ASHRAE_TABLE_3)
def test_saturation_pressure_is_the_ashrae_table_s(celsius: float, pascal: float) -> None:
    assert air.saturation_pa(celsius) == pytest.approx(pascal, rel=3e-4)


@pytest.mark.parametrize(("celsius", "pascal"), IAPWS_95)
def test_saturation_pressure_is_near_iapws_95(celsius: float, pascal: float) -> None:
    assert air.saturation_pa(celsius) == pytest.approx(pascal, rel=1.5e-3)


@pytest.mark.parametrize("celsius", np.linspace(-40.0, 60.0, 41))
def test_saturation_pressure_is_psychrolib_s(celsius: float) -> None:
    assert air.saturation_pa(float(celsius)) == pytest.approx(psychrolib.GetSatVapPres(celsius), rel=1e-9)


@pytest.mark.parametrize(("celsius", "rh_pct", "dew_c"), DEW_POINTS)
def test_dew_point_is_the_published_one(celsius: float, rh_pct: float, dew_c: float) -> None:
    assert air.dew_point_c(celsius, rh_pct) == pytest.approx(dew_c, abs=0.03 if 5 <= celsius <= 25 else 0.06)


def test_dew_point_is_that_of_psychrolib_s_worked_example() -> None:
    # 25 °C, 80 %: the example in the docstring of psychrolib 2.5.0.
    assert air.dew_point_c(25.0, 80.0) == pytest.approx(21.3094, abs=1e-3)


@pytest.mark.parametrize(("fahrenheit", "dew_f"), [(70.0, 50.53), (77.0, 56.96)])
def test_dew_point_in_us_units_is_psychrolib_s(fahrenheit: float, dew_f: float) -> None:
    # ASHRAE by psychrolib 2.5.0 in IP units, 50 %.
    assert air.dew_point_c((fahrenheit - 32.0) / 1.8, 50.0) * 1.8 + 32.0 == pytest.approx(dew_f, abs=0.1)


@pytest.mark.parametrize("celsius", range(-5, 41, 3))
@pytest.mark.parametrize("rh_pct", [5, 20, 40, 60, 80, 95, 100])
def test_dew_point_is_psychrolib_s_over_the_shop_s_range(celsius: int, rh_pct: int) -> None:
    expected_c = psychrolib.GetTDewPointFromRelHum(float(celsius), rh_pct / 100.0)
    assert air.dew_point_c(float(celsius), float(rh_pct)) == pytest.approx(expected_c, abs=0.01)


def test_a_wet_bulb_case_may_be_painted() -> None:
    # Published worked example: 21 °C dry, 17 °C wet, surface 19 °C; its chart reads 15 °C, computed 14.73; paint.
    rh_pct = 100.0 * psychrolib.GetRelHumFromTWetBulb(21.0, 17.0, SEA_LEVEL_PA)
    assert air.dew_point_c(21.0, rh_pct) == pytest.approx(14.73, abs=0.1)
    assert air.may_paint(21.0, rh_pct, 19.0)


@pytest.mark.parametrize(("celsius", "rh_pct", "surface_c", "margin_c", "paint"), MARGINS)
def test_margin_above_the_dew_point(
    celsius: float, rh_pct: float, surface_c: float, margin_c: float, paint: bool
) -> None:
    assert air.margin_c(celsius, rh_pct, surface_c) == pytest.approx(margin_c, abs=0.1)
    assert air.may_paint(celsius, rh_pct, surface_c) is paint


@pytest.mark.parametrize(("off_c", "paint"), [(-0.001, False), (0.001, True)])
def test_the_threshold_lies_at_three_kelvin(off_c: float, paint: bool) -> None:
    surface_c = air.dew_point_c(20.0, 60.0) + 3.0 + off_c
    assert air.may_paint(20.0, 60.0, surface_c) is paint


@pytest.mark.parametrize(("rh_pct", "paint"), [(84.9, True), (85.0, True), (85.1, False)])
def test_damp_air_is_refused_over_85_percent_even_on_a_warm_surface(rh_pct: float, paint: bool) -> None:
    # Customary limit, secondary sources.
    assert air.may_paint(20.0, rh_pct, 30.0) is paint


def test_the_surface_is_the_air_s_where_it_was_not_read() -> None:
    assert air.may_paint(20.0, 65.0) is air.may_paint(20.0, 65.0, 20.0) is True


@pytest.mark.parametrize(("celsius", "rh_pct", "pascal"), DEFICITS)
def test_vapour_pressure_deficit(celsius: float, rh_pct: float, pascal: float) -> None:
    assert air.deficit_pa(celsius, rh_pct) == pytest.approx(pascal, rel=3e-3)


@pytest.mark.parametrize("celsius", [0.5, 10.0, 20.0, 35.0])
@pytest.mark.parametrize("rh_pct", [10.0, 50.0, 90.0])
def test_absolute_humidity_is_psychrolib_s(celsius: float, rh_pct: float) -> None:
    ratio = psychrolib.GetHumRatioFromRelHum(celsius, rh_pct / 100.0, SEA_LEVEL_PA)
    per_m3 = 1000.0 * ratio / psychrolib.GetMoistAirVolume(celsius, ratio, SEA_LEVEL_PA)
    assert air.absolute_humidity_g_m3(celsius, rh_pct) == pytest.approx(per_m3, rel=2e-4)


def test_warmed_air_keeps_its_vapour() -> None:
    warmed_pct = air.rh_when_at_pct(10.0, 80.0, 21.0)
    assert air.vapour_pressure_pa(21.0, warmed_pct) == pytest.approx(air.vapour_pressure_pa(10.0, 80.0))
    assert air.rh_when_at_pct(20.0, 80.0, 5.0) == 100.0


@given(st.floats(-30.0, 50.0), st.floats(1.0, 100.0))
def test_dew_point_never_lies_over_the_air_and_holds_its_vapour(celsius: float, rh_pct: float) -> None:
    dew_c = air.dew_point_c(celsius, rh_pct)
    assert dew_c <= celsius
    # The pressure over ice and over water differ by 1e-4 at the triple point, where the formula changes.
    assert air.saturation_pa(dew_c) == pytest.approx(air.vapour_pressure_pa(celsius, rh_pct), rel=1e-3)


def test_dry_as_a_bone_still_has_a_dew_point() -> None:
    assert math.isfinite(air.dew_point_c(20.0, 0.0))


def test_columns_give_what_single_values_give() -> None:
    celsius, rh_pct = np.array([-3.0, 4.0, 21.0]), np.array([90.0, 70.0, 45.0])
    singly = [air.dew_point_c(float(c), float(h)) for c, h in zip(celsius, rh_pct, strict=True)]
    assert air.dew_point_c(celsius, rh_pct) == pytest.approx(singly, abs=1e-9)


@pytest.mark.parametrize(
    ("celsius", "rh_pct", "field"),
    [
        (60.0, 50.0, "air_c"),
        (-50.0, 50.0, "air_c"),
        (math.nan, 50.0, "air_c"),
        (20.0, -0.1, "rh_pct"),
        (20.0, 100.1, "rh_pct"),
        (20.0, math.nan, "rh_pct"),
    ],
)
def test_air_that_cannot_be_is_refused(celsius: float, rh_pct: float, field: str) -> None:
    with pytest.raises(EngineError) as refused:
        air.check_air(celsius, rh_pct)
    assert refused.value.field == field


@pytest.mark.parametrize(("celsius", "rh_pct"), [(59.9, 0.0), (-49.9, 100.0)])
def test_air_at_the_edge_is_taken(celsius: float, rh_pct: float) -> None:
    air.check_air(celsius, rh_pct)

"""Solvent vapour against the published tables and worked examples."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine import fumes
from stages.engine.errors import EngineError
from stages.engine.fumes import Fumes, Solvent, UsedPot

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
L_PER_GAL = 3.785411784
FT3_PER_GAL = 231 / 1728  # a gallon is 231 in³: litres a litre to cubic feet a gallon
M3_PER_FT3 = UNITS.Quantity(1, "foot**3").to("meter**3").magnitude

# Name, kg/L, g/mol, ft³ of vapour a gallon at 70 °F, tolerance. 29 CFR 1910.94(c)(6) Table G-11 (cells from memory,
# same layout read in WAC 296-62-11019); densities and molar masses from memory, as in any handbook.
VAPOUR_TABLE = [
    ("toluene", 0.866, 92.14, 30.4, 0.02),
    ("acetone", 0.788, 58.08, 44.0, 0.02),
    ("ethanol", 0.789, 46.07, 55.2, 0.02),
    ("methyl ethyl ketone", 0.805, 72.11, 36.0, 0.02),
    ("o-xylene", 0.878, 106.17, 26.4, 0.02),
    ("n-butyl acetate", 0.880, 116.16, 24.8, 0.02),
    ("turpentine, as pinene", 0.862, 136.23, 20.8, 0.04),
    ("n-decane, for mineral spirits", 0.730, 142.28, 16.6, 0.02),  # computed with thermo and chemicals
]


def a_solvent(density_kg_l: float = 0.866, molar_g: float = 92.14, lel_pct: float = 1.4) -> Solvent:
    return Solvent(density_kg_l=density_kg_l, molar_g=molar_g, lel_pct=lel_pct, source="test")


@pytest.mark.parametrize(("name", "density_kg_l", "molar_g", "ft3_per_gal", "off"), VAPOUR_TABLE)
def test_a_gallon_makes_so_much_vapour(
    name: str, density_kg_l: float, molar_g: float, ft3_per_gal: float, off: float
) -> None:
    found = fumes.vapour_l_per_l(a_solvent(density_kg_l, molar_g)) * FT3_PER_GAL
    assert found == pytest.approx(ft3_per_gal, rel=off), name


def test_a_pound_mole_fills_387_cubic_feet() -> None:
    # Dilution ventilation notes: 387 ft³ at 70 °F; a "solvent" of 1 kg/L and 100 g/mol makes 10 mol a litre.
    litres_per_mol = fumes.vapour_l_per_l(a_solvent(1.0, 100.0)) / 10.0
    assert litres_per_mol * 453.59237 / 1000.0 / M3_PER_FT3 == pytest.approx(386.8, abs=0.3)


# LEL %, ft³ of vapour a gallon, ft³ of air to a quarter of the limit.
# 29 CFR 1910.94(c)(6)(ii); formula and toluene example from memory, arithmetic checked.
QUARTER_LIMIT = [(1.4, 30.4, 8564.1), (0.8, 20.8, 10316.8), (2.6, 44.0, 6593.2), (1.8, 36.0, 7856.0)]


@pytest.mark.parametrize(("lel_pct", "vapour", "air"), QUARTER_LIMIT)
def test_air_to_a_quarter_of_the_limit(lel_pct: float, vapour: float, air: float) -> None:
    assert fumes.air_to_stay_under_m3(vapour, lel_pct, 0.25) == pytest.approx(air, abs=1.0)


def test_a_quart_of_toluene_takes_2141_cubic_feet() -> None:
    assert fumes.air_to_stay_under_m3(30.4 / 4.0, 1.4, 0.25) == pytest.approx(2141.0, abs=0.5)


def test_dilution_air_of_the_worked_example() -> None:
    # A pint of toluene an hour, SG 0.866, MW 92.13, K 5, 50 ppm: 6313.5 cfm (Q = 403e6 SG ER K / (MW C)).
    vapour_m3_h = fumes.vapour_l_per_l(a_solvent(0.866, 92.13)) * L_PER_GAL / 8.0 / 1000.0
    cfm = fumes.dilution_m3_h(vapour_m3_h, 50.0, 5.0) / M3_PER_FT3 / 60.0
    # The formula's 403 is rounded from 403.5.
    assert cfm == pytest.approx(6313.5, rel=2e-3)


@pytest.mark.parametrize(("molar_g", "molar_l", "g_m3"), [(200.0, 22.4, 62.5), (142.0, 24.06, 41.3)])
def test_mass_at_the_explosive_limit(molar_g: float, molar_l: float, g_m3: float) -> None:
    # LEL 0.7 %: a woodworking page's figure for varnish (its text says 63), and computed for decane at 20 °C.
    assert fumes.lel_g_m3(0.7, molar_g, molar_l) == pytest.approx(g_m3, abs=0.05)


def test_the_shop_example() -> None:
    # 0.5 L, 0.78 kg/L, 142 g/mol, in 60 m³ without any change of air: 0.0662 m³, 0.110 %, 13.8 % of a limit of 0.8 %.
    pot = UsedPot(litres=0.5, solvent_share=1.0, solvent=a_solvent(0.78, 142.0, 0.8))
    found = fumes.reckon([pot], 60.0, hours=8.0)
    assert found.vapour_m3 == pytest.approx(0.0662, rel=0.01)
    assert found.vapour_pct == pytest.approx(0.110, rel=0.01)
    assert found.lel_share == pytest.approx(0.138, rel=0.01)
    assert found.over


# Gallons of space, ft³, ft³ of vapour at 1 %, gallons of coating: tank ventilation table, 25.7 ft³ of vapour a gallon.
TANKS = [(5000, 668, 6.7, 0.26), (10000, 1336, 13.4, 0.52), (25000, 3342, 33.4, 1.3), (50000, 6684, 66.8, 2.6)]


@pytest.mark.parametrize(("gallons", "ft3", "vapour_ft3", "coating_gal"), TANKS)
def test_coating_that_fills_a_tank_to_one_percent(
    gallons: float, ft3: float, vapour_ft3: float, coating_gal: float
) -> None:
    # Any solvent that makes 25.7 ft³ a gallon: 192.2 L of vapour a litre.
    solvent = a_solvent(0.8, 0.8 * 1000.0 * 24.146 / (25.7 / FT3_PER_GAL))
    tank_m3 = gallons * L_PER_GAL / 1000.0
    assert tank_m3 / M3_PER_FT3 == pytest.approx(ft3, rel=5e-3)
    found = fumes.reckon(
        [UsedPot(litres=coating_gal * L_PER_GAL, solvent_share=1.0, solvent=solvent)], tank_m3, hours=8.0
    )
    assert found.vapour_m3 / M3_PER_FT3 == pytest.approx(vapour_ft3, rel=5e-3)
    assert found.vapour_pct == pytest.approx(1.0, rel=5e-3)


@given(st.floats(0.01, 5.0), st.floats(0.05, 1.0), st.floats(20.0, 500.0), st.floats(0.5, 24.0), st.floats(0.05, 0.5))
def test_the_air_changes_hold_the_share(
    litres: float, share: float, zone_m3: float, hours: float, limit: float
) -> None:
    # Steady state of a mixed room: vapour rate over (vapour + fresh air) rate is the limit, with a perfect mixing of 1.
    pot = UsedPot(litres=litres, solvent_share=share, solvent=a_solvent())
    found = fumes.reckon([pot], zone_m3, hours=hours, share_limit=limit, mixing=1.0)
    fresh_m3 = found.air_changes_per_h * zone_m3 * hours
    steady_pct = 100.0 * found.vapour_m3 / (found.vapour_m3 + fresh_m3)
    assert steady_pct <= 1.4 * limit * 1.02
    assert steady_pct == pytest.approx(1.4 * limit, rel=0.02)


def test_shares_of_several_solvents_add_up() -> None:
    one = UsedPot(litres=0.2, solvent_share=0.5, solvent=a_solvent())
    other = UsedPot(litres=0.4, solvent_share=0.4, solvent=a_solvent(0.78, 142.0, 0.7))
    both = fumes.reckon([one, other], 80.0, hours=8.0)
    singly = [fumes.reckon([pot], 80.0, hours=8.0) for pot in (one, other)]
    assert both.lel_share == pytest.approx(sum(found.lel_share for found in singly))
    assert both.air_changes_per_h == pytest.approx(sum(found.air_changes_per_h for found in singly))


def test_no_pot_makes_no_vapour() -> None:
    assert fumes.reckon([], 60.0, hours=8.0) == Fumes(
        vapour_m3=0.0, vapour_pct=0.0, lel_share=0.0, air_changes_per_h=0.0, over=False
    )


@pytest.mark.parametrize(("limit", "over"), [(0.137, True), (0.139, False)])
def test_over_begins_at_the_limit(limit: float, over: bool) -> None:
    pot = UsedPot(litres=0.5, solvent_share=1.0, solvent=a_solvent(0.78, 142.0, 0.8))
    assert fumes.reckon([pot], 60.0, hours=8.0, share_limit=limit).over is over


def test_the_caution_gives_its_numbers_and_defers() -> None:
    pot = UsedPot(litres=0.5, solvent_share=1.0, solvent=a_solvent(0.78, 142.0, 0.8))
    words = str(fumes.caution(fumes.reckon([pot], 60.0, hours=8.0)))
    assert "0.066 m³" in words
    assert "14 % of the lower explosive limit" in words
    assert "over the 10 %" in words
    assert words.endswith("General information only. Local codes, the SDS and licensed professionals govern.")


def test_the_caution_stays_when_there_is_little() -> None:
    pot = UsedPot(litres=0.1, solvent_share=1.0, solvent=a_solvent(0.78, 142.0, 0.8))
    words = str(fumes.caution(fumes.reckon([pot], 60.0, hours=8.0)))
    assert "under the 10 %" in words
    assert words.endswith("General information only. Local codes, the SDS and licensed professionals govern.")


# Flash °C, boiling °C, category. SCHC-OSHA Alliance GHS information sheet 2, Table 2.
CATEGORIES = [
    (-45, 34, 1),
    (-20, 35, 1),
    (-20, 56, 2),
    (22.9, 100, 2),
    (23, 150, 3),
    (38, 160, 3),
    (60, 180, 3),
    (61, 190, 4),
    (93, 200, 4),
    (94, 220, None),
]


@pytest.mark.parametrize(("flash_c", "boiling_c", "category"), CATEGORIES)
def test_flammable_category(flash_c: float, boiling_c: float, category: int | None) -> None:
    assert fumes.flammable_category(flash_c, boiling_c) == category


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: a_solvent(density_kg_l=0.0), "density_kg_l"),
        (lambda: a_solvent(molar_g=math.nan), "molar_g"),
        (lambda: a_solvent(lel_pct=0.0), "lel_pct"),
        (lambda: UsedPot(litres=-0.1, solvent_share=0.5, solvent=a_solvent()), "litres"),
        (lambda: UsedPot(litres=0.1, solvent_share=1.1, solvent=a_solvent()), "solvent_share"),
        (lambda: fumes.reckon([], 0.0, hours=8.0), "zone_m3"),
        (lambda: fumes.reckon([], 60.0, hours=0.0), "hours"),
        (lambda: fumes.reckon([], 60.0, hours=8.0, share_limit=1.0), "share_limit"),
        (lambda: fumes.dilution_m3_h(1.0, 0.0), "limit_ppm"),
        (lambda: fumes.dilution_m3_h(1.0, 50.0, 0.5), "mixing"),
    ],
)
def test_what_cannot_be_is_refused(call: object, field: str) -> None:
    with pytest.raises(EngineError) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field == field

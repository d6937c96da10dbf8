"""Film and pot against published coverage examples, in their own US units by pint."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.takeoff import film
from hulls.takeoff.errors import TakeOffError

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
# In pint `mil` is an angle: `thou` is 0.001 inch.
UM_PER_MIL = UNITS.Quantity(1, "thou").to("micrometer").magnitude
FT2_PER_GAL = UNITS.Quantity(1, "m**2 / liter").to("foot**2 / US_liquid_gallon").magnitude

# Solids %, dry mils, ft² a gallon, tolerance.
COVERAGE = [
    (35, 2, 281, 1),  # coatings calculation bulletin and its table
    (35, 1, 561, 1),
    (50, 4, 201, 1),
    (60, 3, 321, 1),
    (80, 6, 214, 1),
    (100, 10, 160, 1),
    (65, 5, 208.52, 1),  # spreading-rate note
    (56, 2.5, 358, 2),  # contractors' magazine, which truncates
    (46, 2.5, 294, 2),
]


@pytest.mark.parametrize(("solids_pct", "dry_mil", "expected", "off"), COVERAGE)
def test_theoretical_spreading_rate_in_us_units(solids_pct: float, dry_mil: float, expected: float, off: float) -> None:
    rate = film.theoretical_m2_per_l(solids_pct / 100.0, dry_mil * UM_PER_MIL)
    assert rate * FT2_PER_GAL == pytest.approx(expected, abs=off)


def test_a_gallon_covers_1604_square_feet_a_mil_deep() -> None:
    # 231 in³ / 0.001 in / 144: an identity.
    assert film.theoretical_m2_per_l(1.0, UM_PER_MIL) * FT2_PER_GAL == pytest.approx(1604.17, abs=0.01)


@pytest.mark.parametrize(("solids_pct", "dry_um", "expected"), [(65, 125, 5.2), (50, 50, 10.0)])
def test_theoretical_spreading_rate_in_metric(solids_pct: float, dry_um: float, expected: float) -> None:
    # SR = 10 VS% / DFT; spreading-rate note, and the identity of dimensions.
    assert film.theoretical_m2_per_l(solids_pct / 100.0, dry_um) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("thinning", "wet_mil"), [(0.0, 8.0), (0.10, 8.8)])
def test_wet_film_for_a_wanted_dry_film(thinning: float, wet_mil: float) -> None:
    # 2.8 mil dry at 35 % solids: coatings calculation bulletin.
    assert film.wet_film_um(2.8 * UM_PER_MIL, 0.35, thinning) / UM_PER_MIL == pytest.approx(wet_mil, abs=0.05)


def test_dry_film_of_a_thinned_wet_film() -> None:
    # 8 mil wet, 35 %, thinned 10 %: bulletin's formula.
    assert film.dry_film_um(8 * UM_PER_MIL, 0.35, 0.10) / UM_PER_MIL == pytest.approx(2.545, abs=0.01)


def test_cover_of_a_wet_film() -> None:
    # 1604.17 / WFT, a wet-film gauge maker's page.
    assert film.wet_cover_m2_per_l(10 * UM_PER_MIL) * FT2_PER_GAL == pytest.approx(160.417, abs=0.001)


def test_practical_volume_counts_the_loss() -> None:
    # 9.310489 L in theory, 30 % lost: 13.3 L (surveyors' coating page).
    area_m2 = 9.310489 * film.theoretical_m2_per_l(0.5, 50.0)
    assert film.pot(area_m2, 50.0, 0.5, loss=0.30).product_l == pytest.approx(13.3, abs=0.05)


@given(st.floats(0.1, 1.0), st.floats(10.0, 300.0), st.floats(0.0, 1.0), st.floats(0.1, 30.0))
def test_the_pot_laid_at_its_wet_film_covers_the_area_and_dries_to_the_film(
    solids: float, dry_um: float, thinning: float, area_m2: float
) -> None:
    pot = film.pot(area_m2, dry_um, solids, thinning=thinning, loss=0.0)
    assert pot.total_l * film.wet_cover_m2_per_l(pot.wet_um) == pytest.approx(area_m2)
    assert film.dry_film_um(pot.wet_um, solids, thinning) == pytest.approx(dry_um)


@pytest.mark.parametrize(("power", "factor"), [(0.0, 1.0), (1.0, 2.0), (2.0, 4.0)])
def test_a_film_of_twice_the_thickness(power: float, factor: float) -> None:
    assert film.film_factor(100.0, 50.0, power) == pytest.approx(factor)


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: film.theoretical_m2_per_l(0.0, 50.0), "volume_solids"),
        (lambda: film.theoretical_m2_per_l(1.01, 50.0), "volume_solids"),
        (lambda: film.theoretical_m2_per_l(0.5, 0.0), "dry_film_um"),
        (lambda: film.practical_m2_per_l(10.0, 1.0), "loss"),
        (lambda: film.practical_m2_per_l(10.0, -0.1), "loss"),
        (lambda: film.wet_film_um(50.0, 0.5, -0.1), "thinning"),
        (lambda: film.dry_film_um(math.nan, 0.5), "wet_um"),
        (lambda: film.pot(-1.0, 50.0, 0.5), "area_m2"),
        (lambda: film.pot(math.inf, 50.0, 0.5), "area_m2"),
        (lambda: film.film_factor(50.0, 50.0, 2.1), "power"),
    ],
)
def test_what_cannot_be_is_refused(call: object, field: str) -> None:
    with pytest.raises(TakeOffError) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field == field

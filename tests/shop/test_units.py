"""Quantities as people write them, against the exact definitions of the units.

Sources: the international yard and pound agreement of 1959 (yard 0.9144 m, pound 0.45359237 kg, both exact); NIST
Handbook 44, appendix C (gallon 231 cubic inches, quart 57.75, pint 28.875, fluid ounce 1.8046875; foot 12 inches, pound
16 ounces), and pint's own registry as the reference library.
"""

import math
import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.units import (
    UnitError,
    UnitSystem,
    convert,
    format_length,
    format_mass,
    format_quantity,
    format_temperature,
    format_volume,
    parse_amount,
    parse_length,
    parse_mass,
    parse_quantity,
    parse_temperature,
    parse_volume,
)

INCH_M = float(Fraction("0.9144") / 36)
CUBIC_INCH_L = float((Fraction("0.9144") / 36) ** 3 * 1000)
PINT: pint.UnitRegistry[float] = pint.UnitRegistry()
METRIC, US = UnitSystem.METRIC, UnitSystem.US


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("16'", 192),
        ("16 ft", 192),
        ("16 ft.", 192),
        ("16 feet", 192),
        ("16foot", 192),
        ("16 FT", 192),
        ("16’", 192),
        ("16′", 192),
        ("16.5 ft", 198),
        ("16 1/2 ft", 198),
        ("16 ft 2 in", 194),
        ("16ft2in", 194),
        ("16 ft. 2 in.", 194),
        ("16 feet, 2 inches", 194),
        ("16'2\"", 194),
        ("16' 2", 194),
        ("16'-2\"", 194),
        ("16′ 2″", 194),
        ("16’ 2”", 194),
        ("16' 2''", 194),
        ("  16'\u00a02\"  ", 194),
        ("16' 2 1/2\"", 194.5),
        ("16'2½″", 194.5),
        ("16' 2-1/2\"", 194.5),
        ("16' 11 15/16\"", 203.9375),
        ('34 1/2"', 34.5),
        ('34-1/2"', 34.5),
        ('34½"', 34.5),
        ('34 ½"', 34.5),
        ("34.5 in", 34.5),
        ("34,5 in", 34.5),
        ("34.5 inches", 34.5),
        ("34.5in.", 34.5),
        ("34⅝ in", 34.625),
        ("34 5⁄8 in", 34.625),
        ('1/16"', 0.0625),
        ('3/64"', 0.046875),
        (".5 in", 0.5),
        ("5/4 in", 1.25),
        ("0 in", 0),
    ],
)
def test_feet_and_inches_are_read_as_people_write_them(text: str, inches: float) -> None:
    assert parse_length(text) == pytest.approx(inches * INCH_M, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("4.9 m", 4.9),
        ("4,9 m", 4.9),
        ("4.9m", 4.9),
        ("4.9 M", 4.9),
        ("4,877 m", 4.877),
        ("4.877 metres", 4.877),
        ("490 cm", 4.9),
        ("490 Centimeters", 4.9),
        ("4900 mm", 4.9),
        ("4900mm", 4.9),
        ("0,305 m", 0.305),
        ("87,6 cm", 0.876),
    ],
)
def test_metric_lengths_are_read_with_point_or_comma(text: str, metres: float) -> None:
    assert parse_length(text) == pytest.approx(metres, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "unit", "metres"),
    [("16", "ft", 192 * INCH_M), ("34 1/2", "in", 34.5 * INCH_M), ("4,9", "m", 4.9), ("490", "cm", 4.9)],
)
def test_a_bare_number_takes_the_unit_that_the_caller_names(text: str, unit: str, metres: float) -> None:
    assert parse_length(text, default_unit=unit) == pytest.approx(metres, rel=1e-15)  # type: ignore[arg-type]


def test_a_written_unit_wins_over_the_default_one() -> None:
    assert parse_length("490 cm", default_unit="in") == pytest.approx(4.9)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written here."),
        ("  \t ", "Nothing is written here."),
        ("16 fx", "“16 fx” is not a length. Write it like 16' 2\", 4.9 m or 34 1/2 in."),
        ("sixteen feet", "is not a length"),
        ("nan", "is not a length"),
        ("inf m", "is not a length"),
        ("1e3 m", "is not a length"),
        ("0x10 m", "is not a length"),
        ("-3 m", "“-3 m” is negative; a length is zero or more."),
        ("−3 m", "is negative"),
        ("16", "“16” has no unit."),
        ("16-2", "can be read in two ways"),
        ("16-2 ft", "can be read in two ways"),
        ("16 2", "can be read in two ways"),
        ("15-16 ft", "can be read in two ways"),
        ("4,900 mm", "can be read in two ways: leave out the comma"),
        ("1,234.5 mm", "holds no number that can be read"),
        ("1.234,5 mm", "holds no number that can be read"),
        ("4..9 m", "holds no number that can be read"),
        ("1/0", "divides by zero"),
        ("1/0 in", "divides by zero"),
        ("34 1/0 in", "divides by zero"),
        ("34 3/2 in", "has a fraction that is not under one"),
        ("16.5' 2\"", "has a part of a foot and inches too"),
        ("16' 12\"", "has a foot or more of inches after the feet"),
        ('16\' 2" 3"', "is not a length"),
        ("4 m 90 cm", "is not a length"),
        ("16 ft 2 m", "is not a length"),
        ("4.9 m²", "is not a length"),
        ("16 kg", "is not a length"),
        ("<b>16 ft</b>", "is not a length"),
        ("16\x00 ft", "“16� ft” is not a length"),
        ("9" * 100 + " ft", "is too long for a measure"),
        ("9" * 20 + " ft", "holds no number that can be read"),
        ("٣ m", "is not a length"),
    ],
)
def test_what_is_no_length_is_refused_in_a_sentence(text: str, reason: str) -> None:
    with pytest.raises(UnitError) as refusal:
        parse_length(text)
    assert reason in str(refusal.value)


@pytest.mark.parametrize("text", ["1/0", "16-2", "16 2", "nan", "inf", "-4", "4 fathoms"])
def test_a_default_unit_makes_no_sense_of_nonsense(text: str) -> None:
    with pytest.raises(UnitError):
        parse_length(text, default_unit="ft")


@given(st.text(max_size=70))
def test_any_text_is_a_finite_length_or_refused(text: str) -> None:
    try:
        length_m = parse_length(text, default_unit="in")
    except UnitError:
        return
    assert math.isfinite(length_m)
    assert length_m >= 0


@pytest.mark.parametrize(
    ("inches", "metric", "us"),
    [
        (192, "4.88 m", "16 ft"),
        (194, "4.93 m", "16 ft 2 in"),
        (194.5, "4.94 m", "16 ft 2 1/2 in"),
        (192.25, "4.88 m", "16 ft 1/4 in"),
        (191.99, "4.88 m", "16 ft"),
        (60, "1.52 m", "5 ft"),
        (59.99, "1.52 m", "5 ft"),
        (34.5, "87.6 cm", "34 1/2 in"),
        (12, "30.5 cm", "12 in"),
        (0.0625, "0.2 cm", "1/16 in"),
        (0, "0.0 cm", "0 in"),
    ],
)
def test_a_length_is_shown_in_the_units_of_the_shop(inches: float, metric: str, us: str) -> None:
    assert format_length(inches * INCH_M, METRIC) == metric
    assert format_length(inches * INCH_M, US) == us


def test_just_under_a_metre_is_not_shown_as_a_hundred_centimetres() -> None:
    assert format_length(0.9996, METRIC) == "1.00 m"
    assert format_length(0.9994, METRIC) == "99.9 cm"


def test_the_fraction_of_an_inch_may_stop_at_eighths() -> None:
    assert format_length(34.4375 * INCH_M, US) == "34 7/16 in"
    assert format_length(34.4375 * INCH_M, US, parts_of_inch=8) == "34 1/2 in"


@pytest.mark.parametrize("length_m", [-0.001, math.nan, math.inf])
def test_a_length_below_zero_or_not_finite_is_not_shown(length_m: float) -> None:
    with pytest.raises(UnitError):
        format_length(length_m, METRIC)


@given(st.floats(min_value=0, max_value=100))
def test_a_shown_us_length_reads_back_within_half_a_sixteenth(length_m: float) -> None:
    assert parse_length(format_length(length_m, US)) == pytest.approx(length_m, abs=INCH_M / 32 * (1 + 1e-9))


@given(st.floats(min_value=0, max_value=100))
def test_a_shown_metric_length_reads_back_within_half_a_centimetre(length_m: float) -> None:
    shown = format_length(length_m, METRIC)
    assert parse_length(shown) == pytest.approx(length_m, abs=0.0005001 if shown.endswith("cm") else 0.005001)


@given(st.integers(0, 40), st.integers(0, 11), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_feet_inches_and_fractions_agree_with_pint(feet: int, inches: int, part: int, parts: int) -> None:
    expected = PINT.Quantity(feet * 12 + inches + (part % parts) / parts, "inch").to("meter").magnitude
    assert parse_length(f"{feet}' {inches} {part % parts}/{parts}\"") == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("1 gal", 231 * CUBIC_INCH_L),
        ("2 gallons", 462 * CUBIC_INCH_L),
        ("1 US gal", 231 * CUBIC_INCH_L),
        ("1 qt", 57.75 * CUBIC_INCH_L),
        ("1 1/2 quarts", 86.625 * CUBIC_INCH_L),
        ("1 pt.", 28.875 * CUBIC_INCH_L),
        ("8 fl oz", 14.4375 * CUBIC_INCH_L),
        ("8 fl. oz.", 14.4375 * CUBIC_INCH_L),
        ("½ gal", 115.5 * CUBIC_INCH_L),
        ("250 mL", 0.25),
        ("250ml", 0.25),
        ("1,5 L", 1.5),
        ("1.5 litres", 1.5),
        ("0 L", 0),
    ],
)
def test_volumes_are_read_in_litres_and_us_liquid_measures(text: str, litres: float) -> None:
    assert parse_volume(text) == pytest.approx(litres, rel=1e-15)
    assert parse_amount(text).measure == "volume"


@pytest.mark.parametrize(
    ("text", "kilograms"),
    [
        ("1 lb", 0.45359237),
        ("2 pounds", 0.90718474),
        ("8 oz", 0.45359237 / 2),
        ("500 g", 0.5),
        ("1,25 kg", 1.25),
    ],
)
def test_masses_are_read_in_grams_and_avoirdupois(text: str, kilograms: float) -> None:
    assert parse_mass(text) == pytest.approx(kilograms, rel=1e-15)
    assert parse_amount(text).measure == "mass"


def test_a_bare_amount_takes_the_unit_that_the_caller_names() -> None:
    assert parse_volume("250", default_unit="mL") == pytest.approx(0.25)
    assert parse_mass("2", default_unit="lb") == pytest.approx(0.90718474)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written here."),
        ("250", "“250” has no unit. Write it like 250 mL"),
        ("-1 L", "is negative"),
        ("1 tin", "“1 tin” is not an amount"),
        ("nan L", "is not an amount"),
        ("1/0 L", "divides by zero"),
        ("1,500 mL", "can be read in two ways"),
        ("1-2 L", "can be read in two ways"),
    ],
)
def test_what_is_no_amount_is_refused_in_a_sentence(text: str, reason: str) -> None:
    with pytest.raises(UnitError) as refusal:
        parse_amount(text)
    assert reason in str(refusal.value)


def test_an_ounce_is_never_taken_for_a_fluid_ounce() -> None:
    with pytest.raises(UnitError, match="“8 oz” is a mass, and a volume is wanted"):
        parse_volume("8 oz")
    with pytest.raises(UnitError, match="“8 fl oz” is a volume, and a mass is wanted"):
        parse_mass("8 fl oz")


@pytest.mark.parametrize(
    ("litres", "metric", "us"),
    [
        (231 * CUBIC_INCH_L, "3.79 L", "1.00 gal"),
        (57.75 * CUBIC_INCH_L, "946 mL", "1.00 qt"),
        (28.875 * CUBIC_INCH_L, "473 mL", "16.0 fl oz"),
        (0.9996, "1.00 L", "1.06 qt"),
        (0, "0 mL", "0.0 fl oz"),
    ],
)
def test_a_volume_is_shown_in_the_units_of_the_shop(litres: float, metric: str, us: str) -> None:
    assert format_volume(litres, METRIC) == metric
    assert format_volume(litres, US) == us


@pytest.mark.parametrize(
    ("kilograms", "metric", "us"),
    [(0.45359237, "454 g", "1.00 lb"), (0.226796185, "227 g", "8.0 oz"), (1.5, "1.50 kg", "3.31 lb")],
)
def test_a_mass_is_shown_in_the_units_of_the_shop(kilograms: float, metric: str, us: str) -> None:
    assert format_mass(kilograms, METRIC) == metric
    assert format_mass(kilograms, US) == us


@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_an_amount_below_zero_or_not_finite_is_not_shown(value: float) -> None:
    with pytest.raises(UnitError):
        format_volume(value, METRIC)
    with pytest.raises(UnitError):
        format_mass(value, US)


@given(st.floats(min_value=0, max_value=1000), st.sampled_from(UnitSystem))
def test_a_shown_amount_reads_back_within_its_last_figure(value: float, system: UnitSystem) -> None:
    # The coarsest last figures are 0.01 gal (0.038 L) and 0.01 kg; half of it is the rounding.
    assert parse_volume(format_volume(value, system)) == pytest.approx(value, abs=0.0190)
    assert parse_mass(format_mass(value, system)) == pytest.approx(value, abs=0.0051)


@pytest.mark.parametrize(
    ("text", "system", "celsius"),
    [
        ("0 C", US, 0),
        ("32 F", METRIC, 0),
        ("212 °F", METRIC, 100),
        ("-40 F", METRIC, -40),
        ("−40", US, -40),
        ("12C", US, 12),
        ("12", METRIC, 12),
        ("32", US, 0),
        ("12,5 °C", METRIC, 12.5),
        ("12.5º", METRIC, 12.5),
        ("68 deg F", METRIC, 20),
        ("68 degrees Fahrenheit", METRIC, 20),
        ("20℃", US, 20),
        ("68℉", METRIC, 20),
    ],
)
def test_temperatures_are_read_and_a_bare_one_is_in_the_units_of_the_shop(
    text: str, system: UnitSystem, celsius: float
) -> None:
    assert parse_temperature(text, system) == pytest.approx(celsius, abs=1e-12)


@pytest.mark.parametrize("text", ["", "warm", "nan", "inf C", "12 K", "1/2 C", "12 C 3", "5-10 C", "1e2 C", "--5 C"])
def test_what_is_no_temperature_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_temperature(text, METRIC)


@pytest.mark.parametrize(("text", "allowed"), [("-273.15 C", True), ("-273.16 C", False), ("-460 F", False)])
def test_nothing_is_colder_than_absolute_zero(text: str, allowed: bool) -> None:
    # Zero kelvin is -273.15 degrees Celsius by the definition of the Celsius temperature (BIPM, SI brochure, 2.3.1).
    if allowed:
        assert parse_temperature(text, METRIC) == -273.15
    else:
        with pytest.raises(UnitError, match="absolute zero"):
            parse_temperature(text, METRIC)


def test_a_temperature_is_shown_in_the_units_of_the_shop() -> None:
    assert format_temperature(12, METRIC) == "12.0 °C"
    assert format_temperature(12.25, METRIC) == "12.2 °C"
    assert format_temperature(-0.04, METRIC) == "0.0 °C"
    assert format_temperature(20, US) == "68 °F"
    assert format_temperature(-40, US) == "-40 °F"
    with pytest.raises(UnitError):
        format_temperature(math.nan, US)


@given(st.floats(min_value=-60, max_value=150), st.sampled_from(UnitSystem))
def test_a_shown_temperature_reads_back_within_half_its_last_figure(celsius: float, system: UnitSystem) -> None:
    half = 5 / 18 if system is US else 0.05
    assert parse_temperature(format_temperature(celsius, system), system) == pytest.approx(celsius, abs=half * 1.0001)


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        # NIST SP 811 (2008), appendix B.8, factors as printed there to seven figures.
        (1, "ounce/yard**2", "gram/meter**2", 33.90575),
        (1, "foot**2/gallon", "meter**2/liter", 0.02454239),
        (1, "pound/gallon", "gram/liter", 119.8264),
        (1, "foot**3/minute", "meter**3/hour", 1.699011),
        (1, "thou", "micrometer", 25.4),
    ],
)
def test_derived_units_convert_as_published(value: float, source: str, target: str, expected: float) -> None:
    assert convert(value, source, target) == pytest.approx(expected, rel=5e-7)


def test_importing_the_units_does_not_load_pint() -> None:
    code = "import sys, shop.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    ("text", "unit", "amount"),
    [
        ("350 mL", "L", 0.35),
        ("2 lb", "kg", 0.90718474),
        ("17 ft 6 in", "m", 5.334),
        ("2.5 m2", "m2", 2.5),
        ("2,5 m²", "m2", 2.5),
        ("27 ft2", "m2", 2.50838208),
        ("40", "pc", 40.0),
        ("40 pc", "pc", 40.0),
    ],
)
def test_an_amount_is_read_in_what_the_product_is_counted_in(text: str, unit: str, amount: float) -> None:
    assert parse_quantity(text, unit) == pytest.approx(amount, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("350 g", "L"),
        ("-1 L", "L"),
        ("2.5", "m2"),
        ("-3", "pc"),
        ("3 L", "pc"),
        ("", "pc"),
        ("many", "pc"),
        ("1 2", "pc"),
    ],
)
def test_an_amount_that_cannot_be_is_refused(text: str, unit: str) -> None:
    with pytest.raises(UnitError):
        parse_quantity(text, unit)


@pytest.mark.parametrize("unit", ["L", "kg", "m", "m2", "pc"])
@pytest.mark.parametrize("text", ["0", "0,0", " 0.00 "])
def test_nothing_needs_no_unit(unit: str, text: str) -> None:
    assert parse_quantity(text, unit) == 0.0


@pytest.mark.parametrize("system", [METRIC, US])
@pytest.mark.parametrize("unit", ["L", "kg", "m", "m2", "pc"])
def test_an_amount_that_is_shown_can_be_read_back(unit: str, system: UnitSystem) -> None:
    assert parse_quantity(format_quantity(12.0, unit, system), unit) == pytest.approx(12.0, rel=0.005)

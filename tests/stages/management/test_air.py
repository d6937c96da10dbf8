"""`manage.py air`: the published cases, as JSON and as a table."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command


def air(*arguments: str) -> str:
    out = StringIO()
    call_command("air", *arguments, stdout=out)
    return out.getvalue()


def test_it_answers_the_published_case_in_json() -> None:
    # 16 °C, 71 %, surface 13 °C: do not paint (published case; the dew point computed, 10.75 °C). Wood: eq. 4-5.
    found = json.loads(air("--temp", "16C", "--rh", "71", "--surface", "13C", "--json"))
    assert found["dew_point_c"] == pytest.approx(10.75, abs=0.03)
    assert found["margin_c"] == pytest.approx(2.25, abs=0.03)
    assert found["paint_ok"] is False
    assert set(found) == {
        "dew_point_c",
        "vapour_pressure_pa",
        "deficit_pa",
        "wood_emc_pct",
        "margin_c",
        "paint_ok",
    }


def test_it_takes_the_air_for_a_surface_that_was_not_read() -> None:
    # 20 °C, 65 %: dew point 13.23 °C (ASHRAE by psychrolib), deficit 818.6 Pa, wood 12.00 % (eq. 4-5).
    found = json.loads(air("--temp", "20C", "--rh", "65", "--json"))
    assert found["margin_c"] == pytest.approx(20.0 - 13.23, abs=0.03)
    assert found["deficit_pa"] == pytest.approx(818.6, rel=3e-3)
    assert found["wood_emc_pct"] == pytest.approx(12.0, abs=0.05)
    assert found["paint_ok"] is True


def test_it_takes_fahrenheit() -> None:
    # 70 °F, 50 %: 50.53 °F (ASHRAE by psychrolib).
    found = json.loads(air("--temp", "70F", "--rh", "50", "--json"))
    assert found["dew_point_c"] * 1.8 + 32.0 == pytest.approx(50.53, abs=0.1)


@pytest.mark.parametrize("written", [("--temp", "-5C"), ("--temp=-5C",)])
def test_it_takes_frost(written: tuple[str, ...]) -> None:
    assert json.loads(air(*written, "--rh", "50", "--json"))["dew_point_c"] < -5.0


def test_it_shows_a_table() -> None:
    lines = air("--temp", "16C", "--rh", "71", "--surface", "13C").splitlines()
    assert len(lines) == 6
    assert lines[0].startswith("Dew point, °C")
    assert lines[0].endswith("10.75")
    assert lines[-1].endswith("no")


@pytest.mark.parametrize(
    "arguments",
    [
        ("--temp", "60C", "--rh", "50"),
        ("--temp", "16C", "--rh", "101"),
        ("--temp", "16C", "--rh", "-1"),
        ("--temp", "16C", "--rh", "nan"),
        ("--temp", "16C", "--rh", "50", "--surface", "100C"),
        ("--temp", "warm", "--rh", "50"),
        ("--rh", "50"),
    ],
)
def test_it_refuses_what_cannot_be(arguments: tuple[str, ...]) -> None:
    with pytest.raises(CommandError):
        air(*arguments, "--json")

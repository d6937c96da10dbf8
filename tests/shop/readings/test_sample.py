"""Readings as they may be. °F to °C by the fixed points of both: ice at 32 °F and 0 °C, steam at 212 °F and 100 °C."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from shop.readings.sample import CLOCK_SLACK, Rain, ReadingError, Sample, celsius, check_moment, moment_of

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
LONGEST = timedelta(days=400)


def air(*, air_c: float = 20.0, rh_pct: float = 50.0, surface_c: float | None = None) -> Sample:
    return Sample(at=NOW, air_c=air_c, rh_pct=rh_pct, surface_c=surface_c)


@pytest.mark.parametrize(("fahrenheit", "expected"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (77.0, 25.0)])
def test_fahrenheit_is_converted_by_its_fixed_points(fahrenheit: float, expected: float) -> None:
    assert celsius(fahrenheit) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"air_c": 60.0}, "temp_c"),
        ({"air_c": 50.01}, "temp_c"),
        ({"air_c": -40.01}, "temp_c"),
        ({"air_c": math.nan}, "temp_c"),
        ({"air_c": -math.inf}, "temp_c"),
        ({"rh_pct": 100.01}, "rh_pct"),
        ({"rh_pct": -0.01}, "rh_pct"),
        ({"rh_pct": math.nan}, "rh_pct"),
        ({"surface_c": 70.01}, "surface_c"),
        ({"surface_c": math.nan}, "surface_c"),
    ],
)
def test_air_that_no_shop_has_is_refused_by_its_field(values: dict[str, float], field: str) -> None:
    with pytest.raises(ReadingError) as caught:
        air(**values)
    assert caught.value.field == field
    assert caught.value.message


@pytest.mark.parametrize(
    "values", [{"air_c": 50.0}, {"air_c": -40.0}, {"rh_pct": 0.0}, {"rh_pct": 100.0}, {"surface_c": 70.0}]
)
def test_air_at_its_limits_is_taken(values: dict[str, float]) -> None:
    assert air(**values).at == NOW


@pytest.mark.parametrize(
    ("rain_mm", "fits"), [(0.0, True), (500.0, True), (-0.1, False), (500.1, False), (math.nan, False)]
)
def test_rain_that_never_fell_is_refused(rain_mm: float, fits: bool) -> None:
    if fits:
        assert Rain(at=NOW, rain_mm=rain_mm).rain_mm == rain_mm
    else:
        with pytest.raises(ReadingError):
            Rain(at=NOW, rain_mm=rain_mm)


@pytest.mark.parametrize(
    ("at", "fits"),
    [
        (NOW, True),
        (NOW + CLOCK_SLACK, True),
        (NOW + CLOCK_SLACK + timedelta(seconds=1), False),
        (NOW + timedelta(days=7), False),
        (NOW - LONGEST, True),
        (NOW - LONGEST - timedelta(seconds=1), False),
        (datetime(1970, 1, 1, tzinfo=UTC), False),
    ],
)
def test_a_moment_from_next_week_or_of_an_unset_clock_is_refused(at: datetime, fits: bool) -> None:
    if fits:
        check_moment(at, NOW, LONGEST)
    else:
        with pytest.raises(ReadingError):
            check_moment(at, NOW, LONGEST)


def test_seconds_and_milliseconds_since_1970_are_told_apart() -> None:
    # POSIX.1-2017, section 4.16: 1 000 000 000 s is 2001-09-09 01:46:40 UTC
    assert moment_of(1_000_000_000) == moment_of(1_000_000_000_000) == datetime(2001, 9, 9, 1, 46, 40, tzinfo=UTC)


@pytest.mark.parametrize("seconds", [-1.0, math.nan, math.inf, 1e14, 1e300])
def test_what_is_no_moment_is_refused(seconds: float) -> None:
    with pytest.raises(ReadingError):
        moment_of(seconds)

"""Moisture of wood against the Wood Handbook's equation, and the drying estimate against wood of known speed."""

import math
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stages.engine import wood
from stages.engine.errors import EngineError
from stages.engine.wood import MoistureReading, WoodLimits, estimate

START = datetime(2026, 3, 1, 9, tzinfo=UTC)

# °F, then moisture at 10, 20, 30, 40, 50, 60, 65, 70, 80, 90, 95 %. USDA Wood Handbook ch. 4 eq. 4-5, from which its
# Table 4-2 is stated to be calculated (the cells themselves were not read).
HUMIDITIES_PCT = (10, 20, 30, 40, 50, 60, 65, 70, 80, 90, 95)
EQUATION_4_5 = {
    40: (2.6, 4.6, 6.3, 7.9, 9.5, 11.3, 12.3, 13.5, 16.5, 21.0, 24.3),
    60: (2.5, 4.6, 6.3, 7.8, 9.4, 11.1, 12.1, 13.3, 16.2, 20.7, 24.1),
    70: (2.5, 4.5, 6.2, 7.7, 9.2, 11.0, 12.0, 13.1, 16.0, 20.5, 23.9),
    80: (2.4, 4.4, 6.1, 7.6, 9.1, 10.8, 11.7, 12.9, 15.7, 20.2, 23.6),
    100: (2.3, 4.2, 5.8, 7.2, 8.7, 10.3, 11.2, 12.3, 15.1, 19.5, 22.9),
}


@pytest.mark.parametrize(
    ("fahrenheit", "rh_pct", "expected"),
    [(f, rh, m) for f, row in EQUATION_4_5.items() for rh, m in zip(HUMIDITIES_PCT, row, strict=True)],
)
def test_equilibrium_moisture_is_that_of_equation_4_5(fahrenheit: float, rh_pct: float, expected: float) -> None:
    assert wood.emc_pct((fahrenheit - 32.0) / 1.8, float(rh_pct)) == pytest.approx(expected, abs=0.1)


# °C, %, % moisture, tolerance.
OTHER_CHECKS = [
    (20.0, 65.0, 12.00, 0.05),  # a public code file that cites the Handbook
    (60.0, 80.0, 13.56, 0.05),
    (60.0, 55.0, 8.40, 0.05),  # 140 °F by the equation (the older table has 8.0); encyclopedia article
    (21.0, 30.0, 6.0, 0.5),  # a wood technology professor's rule for room temperature, two pages
    (21.0, 50.0, 9.0, 0.5),
    (21.0, 65.0, 12.0, 0.5),
    (21.0, 80.0, 16.0, 0.5),
]


@pytest.mark.parametrize(("celsius", "rh_pct", "expected", "off"), OTHER_CHECKS)
def test_equilibrium_moisture_agrees_with_others(celsius: float, rh_pct: float, expected: float, off: float) -> None:
    assert wood.emc_pct(celsius, rh_pct) == pytest.approx(expected, abs=off)


def fahrenheit_form(f: float, h: float) -> float:
    """Equation 4-5 with its coefficients for °F, from memory (they agree with those for °C within 0.1 %)."""
    w = 330 + 0.452 * f + 0.00415 * f * f
    k = 0.791 + 0.000463 * f - 0.000000844 * f * f
    k1 = 6.34 + 0.000775 * f - 0.0000935 * f * f
    k2 = 1.09 + 0.0284 * f - 0.0000904 * f * f
    x = k * h
    return 1800 / w * (x / (1 - x) + (k1 * x + 2 * k1 * k2 * x * x) / (1 + k1 * x + k1 * k2 * x * x))


@given(st.floats(30.0, 100.0), st.floats(0.0, 95.0))
def test_the_equation_s_two_forms_agree(fahrenheit: float, rh_pct: float) -> None:
    expected = fahrenheit_form(fahrenheit, rh_pct / 100.0)
    assert wood.emc_pct((fahrenheit - 32.0) / 1.8, rh_pct) == pytest.approx(expected, abs=0.12)


def test_dry_air_takes_all_moisture_and_columns_work() -> None:
    assert wood.emc_pct(20.0, 0.0) == 0.0
    assert wood.emc_pct(np.array([20.0, 60.0]), np.array([65.0, 80.0])) == pytest.approx([12.00, 13.56], abs=0.05)


@pytest.mark.parametrize(("wood_f", "corrected"), [(70.0, 14.0), (60.0, 14.5), (80.0, 13.5)])
def test_a_meter_reads_low_in_cold_wood(wood_f: float, corrected: float) -> None:
    # Half a per cent for each 10 °F from calibration, added when colder: Wood Handbook, meters.
    assert wood.meter_corrected_pct(14.0, (wood_f - 32.0) / 1.8) == pytest.approx(corrected, abs=0.01)


def readings(count: int, days: float, *, first_pct: float = 29.0, emc_pct: float = 9.0) -> list[MoistureReading]:
    """Daily readings of wood that comes a factor e closer to the air in so many days."""
    return [
        MoistureReading(
            at=START + timedelta(days=day), moisture_pct=emc_pct + (first_pct - emc_pct) * math.exp(-day / days)
        )
        for day in range(count)
    ]


def days_between(moment: datetime | None) -> float:
    assert moment is not None
    return (moment - START) / timedelta(days=1)


@pytest.mark.parametrize("days", [2.5, 4.0, 6.0])
def test_the_estimate_finds_the_speed_of_the_wood(days: float) -> None:
    # The moment in closed form: tau ln(20 / 6) from 29 % down to 15 % over 9 %.
    found = estimate(readings(7, days), 9.0, 15.0)
    assert found is not None
    truth = max(days * math.log(20.0 / 6.0), 6.0)
    assert days_between(found.likely) == pytest.approx(truth, abs=0.25)
    assert days_between(found.early) <= truth + 0.01
    assert truth - 0.01 <= days_between(found.late)
    assert not found.rough


def test_one_reading_rests_on_the_usual_speed_and_says_so() -> None:
    found = estimate(readings(1, 6.0), 9.0, 15.0)
    assert found is not None
    assert found.rough
    assert found.days == pytest.approx(wood.USUAL_DAYS)
    assert days_between(found.likely) == pytest.approx(wood.USUAL_DAYS * math.log(20.0 / 6.0), rel=0.02)
    # From a lognormal of a factor two: the 1 in 10 and 9 in 10 lie at least two and a half times apart each way.
    assert days_between(found.late) / days_between(found.early) > 5.0


def test_each_reading_narrows_the_band() -> None:
    bands = []
    for count in range(1, 7):
        found = estimate(readings(count, 6.0), 9.0, 15.0)
        assert found is not None
        bands.append(days_between(found.late) - days_between(found.early))
    assert bands == sorted(bands, reverse=True)


@pytest.mark.parametrize(
    ("rows", "limit_pct"),
    [
        ([(0.0, 16.0)], 15.0),  # so near the limit that the meter's error decides
        ([(0.0, 29.0)], 15.0),
        ([(0.0, 28.0), (1.0, 25.0), (3.0, 19.0)], 14.0),
        ([(0.0, 21.0), (4.0, 17.5), (5.0, 17.0)], 12.0),
        ([(0.0, 12.0), (4.0, 11.0)], 10.0),  # little to go by, where each speed must be weighed fairly
    ],
)
def test_the_band_is_that_of_a_plain_simulation(rows: list[tuple[float, float]], limit_pct: float) -> None:
    # Many woods drawn from the usual speeds and any moisture now, each weighed by how well it explains the readings.
    draw = np.random.default_rng(3)
    days = wood.USUAL_DAYS * np.exp(wood.USUAL_SPREAD * draw.normal(size=400_000))
    excess = draw.uniform(0.0, 25.0, size=400_000)
    last = rows[-1][0]
    misfit = sum((9.0 + excess * np.exp((last - day) / days) - pct) ** 2 for day, pct in rows)
    weights = np.exp(-0.5 * misfit / wood.METER_ERROR_PCT**2)
    moments = days * np.log(np.maximum(excess / (limit_pct - 9.0), 1.0))
    order = np.argsort(moments)
    reached = np.cumsum(weights[order]) / weights.sum()
    expected = [last + moments[order][reached.searchsorted(share)] for share in (0.1, 0.5, 0.9)]
    found = estimate(
        [MoistureReading(at=START + timedelta(days=day), moisture_pct=pct) for day, pct in rows], 9.0, limit_pct
    )
    assert found is not None
    assert [days_between(moment) for moment in (found.early, found.likely, found.late)] == pytest.approx(
        expected, rel=0.03, abs=0.05
    )


@pytest.mark.parametrize("count", [1, 2, 5])
def test_wood_that_is_dry_enough_is_ready_at_its_last_reading(count: int) -> None:
    dry = [MoistureReading(at=START + timedelta(days=day), moisture_pct=9.5) for day in range(count)]
    found = estimate(dry, 9.0, 15.0)
    assert found is not None
    assert found.late == dry[-1].at


def test_wood_never_comes_under_what_its_air_allows() -> None:
    found = estimate(readings(4, 4.0, emc_pct=16.0), 16.0, 15.0)
    assert found is not None
    assert (found.early, found.likely, found.late) == (None, None, None)


def test_no_reading_gives_no_estimate() -> None:
    assert estimate([], 9.0, 15.0) is None


def test_readings_come_in_any_order() -> None:
    rows = readings(5, 5.0)
    assert estimate(rows, 9.0, 15.0) == estimate(list(reversed(rows)), 9.0, 15.0)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 30.0), st.floats(4.0, 60.0)), min_size=1, max_size=10),
    st.floats(4.0, 20.0),
    st.floats(8.0, 25.0),
)
def test_any_readings_give_an_ordered_band(rows: list[tuple[float, float]], emc_pct: float, limit_pct: float) -> None:
    found = estimate(
        [MoistureReading(at=START + timedelta(days=day), moisture_pct=pct) for day, pct in rows], emc_pct, limit_pct
    )
    assert found is not None
    far = datetime.max.replace(tzinfo=UTC)
    assert (found.early or far) <= (found.likely or far) <= (found.late or far)


@pytest.mark.parametrize("moisture_pct", [0.0, -1.0, 200.1, math.nan])
def test_a_reading_that_cannot_be_is_refused(moisture_pct: float) -> None:
    with pytest.raises(EngineError):
        MoistureReading(at=START, moisture_pct=moisture_pct)


@pytest.mark.parametrize(("moisture_pct", "reliable"), [(29.9, True), (30.0, True), (30.1, False)])
def test_meters_can_tell_up_to_fibre_saturation(moisture_pct: float, reliable: bool) -> None:
    assert MoistureReading(at=START, moisture_pct=moisture_pct).reliable is reliable


@pytest.mark.parametrize("name", ["oil_pct", "varnish_pct", "glue_pct", "canvas_pct"])
@pytest.mark.parametrize(("limit", "taken"), [(4.9, False), (5.0, True), (30.0, True), (30.1, False)])
def test_limits_lie_where_a_meter_can_tell(name: str, limit: float, taken: bool) -> None:
    if taken:
        assert getattr(WoodLimits(**{name: limit}), name) == limit
        return
    with pytest.raises(EngineError) as refused:
        WoodLimits(**{name: limit})
    assert refused.value.field == name


def test_days_of_drying_are_of_24_hours_over_a_change_of_the_clocks() -> None:
    # Berlin's clocks went forward on 29 March 2026: the same wood is dry at the same moment, whatever the clock shows.
    at = datetime(2026, 3, 28, 9, tzinfo=UTC)
    found = [
        estimate([MoistureReading(at=at.astimezone(zone), moisture_pct=20.0)], 10.0, 15.0)
        for zone in (UTC, ZoneInfo("Europe/Berlin"))
    ]
    assert found[0]
    assert found[1]
    assert found[0].likely
    assert found[1].likely
    assert found[1].likely.timestamp() == found[0].likely.timestamp()

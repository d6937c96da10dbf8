"""The benchmark's two sides answer the same question; how fast is not tested."""

import pytest

from stages.bench.clock import LABELS, START, a_year, scipy_age_h
from stages.engine.airlog import AirLog
from stages.engine.dryclock import age
from stages.engine.label import Label


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("readings", [2_000, 20_000])
def test_the_peer_finds_the_clock_s_age(label: Label, readings: int) -> None:
    log = a_year(readings)
    until = START.fromtimestamp(float(log.seconds[-1]), START.tzinfo)
    # The trapezoidal rule blurs the jump at the lowest temperature, where the clock cuts.
    expected = scipy_age_h(label, log, START, until)
    assert age(label, log, START, until).hours == pytest.approx(expected, rel=0.01)


def test_a_year_has_readings_on_both_sides_of_the_lowest_temperatures() -> None:
    log: AirLog = a_year(105_120)
    assert log.measured == 105_120
    assert log.air_c.min() < 5.0 < 25.0 > log.air_c.mean() > 10.0

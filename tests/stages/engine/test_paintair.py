"""Whether a coat may go on: now, through its first hours, and from when."""

import itertools
import math
from datetime import UTC, datetime, timedelta

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from psychrolib import GetTDewPointFromRelHum
from scipy.optimize import brentq

from stages.engine.airlog import AirLog, AirReading
from stages.engine.errors import EngineError
from stages.engine.paintair import (
    AirLimits,
    Hindrance,
    clears_at,
    first_hindrance,
    margin_trend_c_h,
    paint_air,
    refused_spans,
)
from stages.engine.projection import Projection

psychrolib.SetUnitSystem(psychrolib.SI)
START = datetime(2026, 4, 6, 8, tzinfo=UTC)


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def a_log(*readings: tuple[float, float, float]) -> AirLog:
    return AirLog.of(AirReading(at=at(h), air_c=c, rh_pct=rh) for h, c, rh in readings)


# °C, %, surface °C, what keeps a coat off. Dew and damp: the published cases of the dew-point rule (16/71/13: "do not
# paint"); cold and hot: the limits of AirLimits, common practice, no published source.
CASES = [
    (16, 71, 13, {Hindrance.DEW}),
    (20, 65, 18, set()),
    (20, 85, 20, {Hindrance.DEW}),
    (12, 80, 11, {Hindrance.DEW}),
    (25, 50, 20, set()),
    (20, 86, 30, {Hindrance.DAMP}),
    (4.9, 50, 10, {Hindrance.COLD}),
    (5, 50, 5, set()),
    (10, 50, 4.9, {Hindrance.COLD}),
    (35, 30, 35, set()),
    (35.1, 30, 30, {Hindrance.HOT}),
    (20, 30, 36, {Hindrance.HOT}),
    (3, 95, 3, {Hindrance.COLD, Hindrance.DAMP, Hindrance.DEW}),
]


@pytest.mark.parametrize(("air_c", "rh_pct", "surface_c", "hindrances"), CASES)
def test_what_keeps_a_coat_off(air_c: float, rh_pct: float, surface_c: float, hindrances: set[Hindrance]) -> None:
    log = AirLog.of([AirReading(at=START, air_c=air_c, rh_pct=rh_pct, surface_c=surface_c)])
    found = paint_air(log, START)
    assert set(found.hindrances) == hindrances
    assert (found.surface_c, found.ahead) == (surface_c, False)


def test_the_surface_is_the_air_s_where_none_was_read() -> None:
    assert paint_air(a_log((0, 18, 60)), START).surface_c == 18.0


def test_a_clear_morning_that_ends_in_dew_is_found_within_the_first_hours() -> None:
    # The air cools towards its dew point: 20 °C, 60 % at 08:00; 14 °C, 92 % at 12:00.
    log = a_log((0, 20, 60), (4, 14, 92))
    assert paint_air(log, START).hindrances == ()
    found = first_hindrance(log, START)
    assert found is not None
    crossed_h = brentq(lambda h: 20 - 1.5 * h - GetTDewPointFromRelHum(20 - 1.5 * h, 0.6 + 0.08 * h) - 3.0, 0, 4)
    assert timedelta(0) <= found.at - at(crossed_h) <= timedelta(seconds=1)
    assert found.hindrances == (Hindrance.DEW,)
    assert first_hindrance(log, START, hours=2.0) is None
    assert first_hindrance(log, START, AirLimits(margin_c=0.0, most_rh_pct=100.0)) is None


def test_a_damp_night_clears_in_the_morning() -> None:
    log = a_log((0, 10, 95), (10, 10, 95), (12, 18, 60), (40, 18, 60))
    found = clears_at(log, START)
    assert found is not None
    assert at(10) < found < at(12)
    assert first_hindrance(log, found) is None
    assert first_hindrance(log, found - timedelta(minutes=1)) is not None


def test_a_damp_minute_between_two_quarters_counts() -> None:
    # Fair at every quarter of an hour; damp for six minutes from 9:04 on.
    log = a_log((0, 20, 50), (1.05, 20, 50), (1.1, 20, 95), (1.15, 20, 50), (30, 20, 50))
    found = first_hindrance(log, START)
    assert found is not None
    assert at(1.05) < found.at < at(1.1)
    clear = clears_at(log, START)
    assert clear is not None
    assert at(1.1) < clear < at(1.15)


def test_a_fair_hour_is_no_gap_to_paint_in() -> None:
    # Fair from 2 to 4 h, then damp again until 20 h: four fair hours begin only after that.
    log = a_log(
        (0, 15, 92), (1.9, 15, 92), (2, 15, 60), (4, 15, 60), (4.1, 15, 92), (20, 15, 92), (20.1, 15, 60), (60, 15, 60)
    )
    found = clears_at(log, START)
    assert found is not None
    assert at(20) < found <= at(20.1)
    # At 15 °C the dew point lies 3 K under the air at 1402.6 / 1705.6 = 82.24 % (ASHRAE), which is read at 9:55:50.
    assert clears_at(log, START, hours=1.5) == at(1) + timedelta(minutes=56)


def test_a_coat_may_go_on_at_once_in_fair_air() -> None:
    assert clears_at(a_log((0, 20, 50)), START) == START


def test_air_that_never_clears_has_no_moment() -> None:
    assert clears_at(a_log((0, 3, 50)), START) is None


def test_what_lies_ahead_is_asked_of_the_projection() -> None:
    log = a_log((0, 20, 50))
    cold = Projection.steady(4.0, 50.0, UTC)
    found = first_hindrance(log.with_projection(cold), START)
    assert found is not None
    assert found.ahead
    assert found.hindrances[0] is Hindrance.COLD
    assert first_hindrance(log, START) is None


def test_a_zone_never_read_is_judged_by_the_assumed_air() -> None:
    found = paint_air(AirLog.of((), assumed=(3.0, 50.0)), START)
    assert found.hindrances == (Hindrance.COLD,)
    assert found.ahead


@pytest.mark.parametrize(("late_pct", "sign"), [(80, -1), (50, 0), (40, 1)])
def test_the_margin_rises_or_falls(late_pct: float, sign: int) -> None:
    trend = margin_trend_c_h(a_log((-3, 15, 50), (0, 15, late_pct)), START)
    assert math.copysign(1, trend) * (trend != 0) == sign


@given(
    st.lists(st.tuples(st.integers(0, 100), st.floats(0.0, 30.0), st.floats(30.0, 100.0)), min_size=1, max_size=12),
    st.floats(0.0, 20.0),
)
def test_when_it_clears_it_holds_and_never_before(rows: list[tuple[int, float, float]], start_h: float) -> None:
    log, start = a_log(*((float(h), c, rh) for h, c, rh in rows)), at(start_h)
    found = clears_at(log, start)
    if found is None:
        assert first_hindrance(log, start) is not None
        return
    assert first_hindrance(log, found) is None
    assert (first_hindrance(log, start) is None) is (found == start)
    if found > start:
        assert found.second == found.microsecond == 0
        assert first_hindrance(log, max(start, found - timedelta(seconds=61))) is not None


@pytest.mark.parametrize(
    "changed",
    [{"lowest_c": 40.0}, {"highest_c": 61.0}, {"most_rh_pct": 0.0}, {"margin_c": -1.0}, {"margin_c": math.nan}],
)
def test_limits_that_cannot_be_are_refused(changed: dict[str, float]) -> None:
    with pytest.raises(EngineError):
        AirLimits(**changed)


def test_the_hours_in_which_no_coat_may_go_on() -> None:
    # Straight from 10 °C at 08:00 down through the lowest 5 °C at 10:00 to 0 °C at 12:00, and up again.
    log = a_log((0, 10, 30), (4, 0, 30), (8, 10, 30))
    second = timedelta(seconds=1)
    ((begin, end),) = refused_spans(log, at(0), at(8))
    assert at(2) < begin <= at(2) + second  # 5.0 °C itself is not refused
    assert at(6) <= end <= at(6) + second
    assert refused_spans(log, at(0), at(5)) == ((begin, at(5)),)
    assert refused_spans(log, at(3), at(4)) == ((at(3), at(4)),)
    assert refused_spans(log, at(7), at(8)) == ()
    assert refused_spans(log, at(0), at(8), AirLimits(lowest_c=0.0)) == ()


@given(st.lists(st.tuples(st.floats(0, 25), st.floats(20, 95)), min_size=2, max_size=12))
def test_at_no_quarter_outside_those_hours_does_anything_keep_a_coat_off(airs: list[tuple[float, float]]) -> None:
    log = a_log(*((2.0 * n, air_c, rh_pct) for n, (air_c, rh_pct) in enumerate(airs)))
    spans = refused_spans(log, at(0), at(24))
    for quarter in range(96):
        moment = at(quarter / 4)
        assert any(begin <= moment < end for begin, end in spans) == bool(paint_air(log, moment).hindrances)
    assert all(one[1] < other[0] for one, other in itertools.pairwise(spans))

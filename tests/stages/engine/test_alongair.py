"""The air along a stretch of time, against the log it comes from."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine.airlog import AirLog, AirReading
from stages.engine.alongair import AlongAir, Turned, below, joined
from stages.engine.projection import Projection

START = datetime(2026, 4, 6, 8, tzinfo=UTC)
START_S = START.timestamp()
H = 3600.0


def a_log(*readings: tuple[float, float, float]) -> AirLog:
    return AirLog.of(AirReading(at=START + timedelta(hours=h), air_c=c, rh_pct=rh) for h, c, rh in readings)


def test_it_has_the_readings_between_and_the_air_at_both_ends() -> None:
    found = AlongAir.of(a_log((0, 10, 50), (2, 14, 60), (4, 12, 70)), START_S + H, START_S + 3 * H)
    assert ((found.seconds - START_S) / H).tolist() == [1.0, 2.0, 3.0]
    assert found.air_c.tolist() == pytest.approx([12.0, 14.0, 13.0])
    assert found.rh_pct.tolist() == pytest.approx([55.0, 60.0, 65.0])


def test_the_margin_is_that_of_the_published_case() -> None:
    # 16 °C, 71 %, surface 13 °C: dew point 10.8 °C, margin 2.2 K, do not paint (worked case of the dew-point rule).
    log = AirLog.of([AirReading(at=START, air_c=16.0, rh_pct=71.0, surface_c=13.0)])
    assert AlongAir.of(log, START_S, START_S + H).margin_c[0] == pytest.approx(2.2, abs=0.1)


def test_a_gap_longer_than_the_bridge_and_all_outside_the_readings_is_not_known() -> None:
    log = a_log((0, 10, 50), (6, 10, 50), (12.1, 10, 50), (13, 10, 50))
    found = AlongAir.of(log, START_S - H, START_S + 15 * H)
    assert found.known.tolist() == [False, True, False, True, False]


def test_a_moment_inside_a_gap_does_not_make_it_known() -> None:
    log = a_log((0, 10, 50), (9, 10, 50))
    assert AlongAir.of(log, START_S + 4 * H, START_S + 5 * H).known.tolist() == [False]


def test_what_is_expected_is_not_known() -> None:
    log = a_log((0, 10, 50), (2, 10, 50)).with_projection(Projection.steady(12.0, 50.0, UTC), days=1)
    known = AlongAir.of(log, START_S, START_S + 5 * H).known
    assert known.tolist() == [True, False, False, False]


def test_a_zone_that_was_never_read_has_its_assumed_air() -> None:
    found = AlongAir.of(AirLog.of([]), START_S, START_S + H)
    assert found.air_c.tolist() == [15.0, 15.0]
    assert found.known.tolist() == [False]


def test_the_air_jumps_at_a_move_and_the_jump_is_not_known() -> None:
    one, other = a_log((0, 10, 50), (4, 10, 50)), a_log((0, 20, 40), (4, 20, 40))
    whole = joined([AlongAir.of(one, START_S, START_S + H), AlongAir.of(other, START_S + H, START_S + 2 * H)])
    assert whole.air_c.tolist() == [10.0, 10.0, 20.0, 20.0]
    assert whole.known.tolist() == [True, False, True]


def test_the_stretches_under_a_limit() -> None:
    seconds = np.array([0.0, 10.0, 20.0, 30.0])
    assert below(seconds, np.array([4.0, 6.0, 6.0, 2.0]), 5.0) == ((0.0, 5.0), (22.5, 30.0))
    assert below(seconds, np.array([5.0, 5.0, 5.0, 5.0]), 5.0) == ()
    assert below(seconds, np.array([1.0, 1.0, 1.0, 1.0]), 5.0) == ((0.0, 30.0),)


@given(st.lists(st.floats(-5, 15), min_size=2, max_size=20))
def test_in_the_middle_of_such_a_stretch_the_line_is_under_the_limit(values: list[float]) -> None:
    seconds = np.arange(len(values), dtype=np.float64)
    for begin, end in below(seconds, np.array(values), 5.0):
        assert np.interp((begin + end) / 2, seconds, values) <= 5.0 + 1e-9


def test_a_room_that_is_kept_otherwise_turns_at_that_moment() -> None:
    ahead = Turned(
        before=Projection.steady(10.0, 60.0, UTC), after=Projection.steady(21.0, 30.0, UTC), at_s=START_S + 2 * H
    )
    air_c, rh_pct = ahead.expected(START_S + H * np.array([0.0, 1.99, 2.0, 3.0]))
    assert air_c.tolist() == [10.0, 10.0, 21.0, 21.0]
    assert rh_pct.tolist() == [60.0, 60.0, 30.0, 30.0]

"""The air of a zone between, before and after its readings."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine.air import FloatArray
from stages.engine.airlog import AirLog, AirReading, seconds_of
from stages.engine.errors import EngineError

START = datetime(2026, 1, 5, 8, tzinfo=UTC)


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def a_log(*readings: tuple[float, float, float], bridge_h: float = 6.0) -> AirLog:
    return AirLog.of((AirReading(at=at(h), air_c=c, rh_pct=rh) for h, c, rh in readings), bridge_h=bridge_h)


class Steady:
    """Air that stays as it is."""

    def expected(self, seconds: FloatArray) -> tuple[FloatArray, FloatArray]:
        return np.full(len(seconds), 20.0), np.full(len(seconds), 40.0)


def test_air_runs_straight_between_two_readings() -> None:
    air = a_log((0, 10, 80), (4, 18, 60)).air_at(at(1))
    assert (air.air_c, air.rh_pct, air.assumed) == (pytest.approx(12.0), pytest.approx(75.0), False)


@pytest.mark.parametrize(("hours", "air_c"), [(-1, 10.0), (5, 18.0)])
def test_air_is_held_before_the_first_and_after_the_last(hours: float, air_c: float) -> None:
    assert a_log((0, 10, 80), (4, 18, 60)).air_at(at(hours)).air_c == air_c


@pytest.mark.parametrize(
    ("hours", "assumed"), [(-6.1, True), (-6.0, False), (0, False), (3, False), (9, True), (16, False), (22.1, True)]
)
def test_air_that_nobody_measured_is_assumed(hours: float, assumed: bool) -> None:
    assert a_log((0, 10, 80), (6, 18, 60), (16, 12, 70)).air_at(at(hours)).assumed is assumed


def test_readings_come_in_any_order_and_twice() -> None:
    rows = [(4.0, 18.0, 60.0), (0.0, 10.0, 80.0), (2.0, 12.0, 70.0)]
    forward, backward = a_log(*rows, *rows), a_log(*reversed(rows))
    assert forward.measured == backward.measured == 3
    assert np.array_equal(forward.seconds, backward.seconds)
    assert np.array_equal(forward.air_c, [10.0, 12.0, 18.0])


def test_of_two_readings_at_one_moment_the_colder_counts() -> None:
    assert a_log((0, 12, 50), (0, 9, 60)).air_at(at(0)).air_c == 9.0


def test_one_moment_in_two_time_zones_is_one_reading() -> None:
    east = at(0).astimezone(tz=None)
    log = AirLog.of([AirReading(at=at(0), air_c=9, rh_pct=50), AirReading(at=east, air_c=9, rh_pct=50)])
    assert log.measured == 1


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        (0, 5, 0.0),  # within the readings
        (0, 14, 8.0),  # the gap of 8 h is longer than the bridge
        (8, 10, 2.0),  # inside the gap
        (14, 20, 0.0),  # six hours after the last are bridged
        (14, 21, 7.0),  # seven are not
        (-6, 1, 0.0),
        (-7, 1, 7.0),
        (-9, -8, 1.0),
        (30, 32, 2.0),
        (5, 5, 0.0),
        (6, 5, 0.0),
    ],
)
def test_hours_that_nobody_measured(start: float, end: float, hours: float) -> None:
    log = a_log((0, 10, 80), (5, 12, 80), (5.5, 12, 80), (13.5, 12, 80), (14, 12, 80))
    assert log.assumed_h(seconds_of(at(start)), seconds_of(at(end))) == pytest.approx(hours)


def test_a_zone_never_read_runs_on_the_shop_s_assumption_and_says_so() -> None:
    log = AirLog.of((), assumed=(12.0, 70.0))
    assert log.is_empty
    assert log.air_at(START) == (12.0, 70.0, None, True)
    assert log.assumed_h(0.0, 7200.0) == 2.0


def test_a_surface_is_given_near_its_readings_only() -> None:
    log = AirLog.of(
        [
            AirReading(at=at(0), air_c=10, rh_pct=50, surface_c=8),
            AirReading(at=at(2), air_c=10, rh_pct=50, surface_c=9),
            AirReading(at=at(20), air_c=10, rh_pct=50),
        ]
    )
    assert log.air_at(at(1)).surface_c == pytest.approx(8.5)
    assert log.air_at(at(8)).surface_c == 9.0
    assert log.air_at(at(8.1)).surface_c is None
    assert a_log((0, 10, 50)).air_at(at(0)).surface_c is None


def test_past_its_last_reading_a_surface_cools_as_the_air_does_and_does_not_warm() -> None:
    sunlit = AirReading(at=at(0), air_c=18, rh_pct=50, surface_c=25)
    log = AirLog.of([sunlit, AirReading(at=at(2), air_c=22, rh_pct=50), AirReading(at=at(5), air_c=10, rh_pct=50)])
    assert log.air_at(at(2)).surface_c == 25.0
    assert log.air_at(at(3)).surface_c == pytest.approx(25.0)  # the air is back at 18 °C
    assert log.air_at(at(5)).surface_c == pytest.approx(17.0)
    warmed = AirReading(at=at(6), air_c=10, rh_pct=50, surface_c=12)
    assert AirLog.of([sunlit, warmed]).air_at(at(3)).surface_c == pytest.approx(18.5)  # straight between two readings


def test_a_projection_runs_on_from_the_last_reading() -> None:
    log = a_log((0, 10, 80), (1, 10, 80)).with_projection(Steady(), days=2)
    assert log.measured == 2
    assert log.air_at(at(1)).air_c == 10.0
    assert log.air_at(at(1.5)).air_c == pytest.approx(15.0)
    assert log.air_at(at(3)).air_c == 20.0
    assert log.with_projection(Steady(), days=1).air_at(at(3)).air_c == 20.0


def test_projected_hours_past_the_bridge_are_assumed() -> None:
    log = a_log((0, 10, 80), (1, 10, 80)).with_projection(Steady())
    assert log.assumed_h(seconds_of(at(0)), seconds_of(at(6))) == 0.0
    assert log.assumed_h(seconds_of(at(0)), seconds_of(at(11))) == pytest.approx(10.0)


def test_a_zone_never_read_is_projected_from_a_moment() -> None:
    with pytest.raises(EngineError, match="moment to project from"):
        AirLog.of(()).with_projection(Steady())
    log = AirLog.of(()).with_projection(Steady(), since=START)
    assert log.is_empty
    assert log.air_at(at(5)) == (20.0, 40.0, None, True)


def test_columns_and_readings_make_the_same_log() -> None:
    columns = AirLog.from_arrays(
        np.array([START.timestamp(), at(1).timestamp()]), np.array([10.0, 12.0]), np.array([80.0, 70.0])
    )
    assert columns.air_at(at(0.5)) == a_log((0, 10, 80), (1, 12, 70)).air_at(at(0.5))


def test_a_log_cannot_be_written_to() -> None:
    log = a_log((0, 10, 80), (1, 12, 70))
    with pytest.raises(ValueError, match="read-only"):
        log.air_c[0] = 30.0


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"at": datetime(2026, 1, 5)}, "at"),  # noqa: DTZ001
        ({"air_c": 60.0}, "air_c"),
        ({"rh_pct": 101.0}, "rh_pct"),
        ({"surface_c": math.nan}, "surface_c"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(changed: dict[str, object], field: str) -> None:
    with pytest.raises(EngineError) as refused:
        AirReading(**{"at": START, "air_c": 15.0, "rh_pct": 50.0, **changed})  # type: ignore[arg-type]
    assert refused.value.field == field


def test_columns_that_cannot_be_are_refused() -> None:
    one = np.array([1.0])
    for seconds, air_c, rh_pct in [
        (one, np.array([60.0]), one),
        (one, one, np.array([-1.0])),
        (one, np.array([math.nan]), one),
        (np.array([math.nan]), one, one),
        (np.array([1.0, 2.0]), one, one),
    ]:
        with pytest.raises(EngineError):
            AirLog.from_arrays(seconds, air_c, rh_pct)
    with pytest.raises(EngineError):
        AirLog.of((), bridge_h=math.nan)


@given(st.lists(st.tuples(st.integers(0, 200), st.floats(-10, 40), st.floats(0, 100)), min_size=1, max_size=20))
def test_assumed_hours_add_up_over_any_cut_inside_the_readings(rows: list[tuple[int, float, float]]) -> None:
    log = a_log(*rows)
    first, last = float(log.seconds[0]), float(log.seconds[-1])
    middle = (first + last) / 2.0
    parts = log.assumed_h(first, middle) + log.assumed_h(middle, last)
    assert parts == pytest.approx(log.assumed_h(first, last))

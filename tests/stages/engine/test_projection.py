"""The air ahead: the zone's own day repeated, and the band of dry times around it."""

import math
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stages.engine.air import vapour_pressure_pa
from stages.engine.airlog import AirLog, AirReading
from stages.engine.dryclock import dry_at
from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Family, Label
from stages.engine.projection import HEATED_NIGHTS_C, USUAL_NIGHTS_C, Outlook, Projection, utc_offsets_s

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 2, 20, 12, tzinfo=BERLIN)
ENAMEL = Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 16.0}, lowest_c=5.0)


def daily_c(moment: datetime) -> float:
    """A day that is coldest at 04:00 and warmest at 16:00 local time, between 9 and 17 °C."""
    hour = moment.hour + moment.minute / 60.0
    return 13.0 - 4.0 * math.cos((hour - 4.0) / 24.0 * 2.0 * math.pi)


def a_log(days: float, *, nights_c: tuple[float, ...] = (0.0,), every_min: int = 30, zone: tzinfo = BERLIN) -> AirLog:
    """Readings of so many days up to NOW; each day is off by the next of ``nights_c``."""
    readings = []
    for step in range(int(days * 1440 / every_min) + 1):
        at = NOW - timedelta(minutes=every_min * step)
        night = int((at.timestamp() + 43200) // 86400)
        local = at.astimezone(UTC).astimezone(zone)
        readings.append(AirReading(at=at, air_c=daily_c(local) + nights_c[night % len(nights_c)], rh_pct=60.0))
    return AirLog.of(readings)


def test_the_pattern_is_the_day_that_was_read() -> None:
    day = Projection.recent(a_log(14), NOW, BERLIN)
    assert day.air_c == pytest.approx([daily_c(NOW.replace(hour=hour)) for hour in range(24)], abs=1e-9)
    assert day.rh_pct == pytest.approx([60.0] * 24)
    assert day.nights_c == pytest.approx(0.0, abs=1e-9)
    assert day.from_days >= 14


def test_recent_days_count_more() -> None:
    cold_then_warm = AirLog.of(
        AirReading(at=NOW - timedelta(hours=h), air_c=18.0 if h < 4 * 24 else 8.0, rh_pct=60.0) for h in range(14 * 24)
    )
    assert min(Projection.recent(cold_then_warm, NOW, BERLIN).air_c) > 13.0


def test_readings_after_now_and_long_ago_do_not_count() -> None:
    log = AirLog.of(
        AirReading(at=NOW + timedelta(hours=h), air_c=12.0 if -21 * 24 <= h <= 0 else 40.0, rh_pct=60.0)
        for h in range(-30 * 24, 48)
    )
    assert Projection.recent(log, NOW, BERLIN).air_c == pytest.approx([12.0] * 24)


def test_the_spread_is_that_of_the_nights() -> None:
    # Nights off by -2, 0 and 2 K in turn have a standard deviation of 1.7 K over many.
    spread = Projection.recent(a_log(21, nights_c=(-2.0, 0.0, 2.0)), NOW, BERLIN).nights_c
    assert spread == pytest.approx(math.sqrt(8.0 / 3.0), abs=0.15)


def test_too_few_nights_fall_back_on_the_usual_spread() -> None:
    assert Projection.recent(a_log(1.6), NOW, BERLIN).nights_c == USUAL_NIGHTS_C


@pytest.mark.parametrize(("hours", "days"), [(10, 0), (11, 1)])
def test_too_few_hours_hold_the_last_air(hours: int, days: int) -> None:
    # Eleven hours back from noon are twelve full hours of the day.
    day = Projection.recent(a_log(hours / 24), NOW, BERLIN)
    assert (day.from_days > 0) is (days > 0)
    if not days:
        assert day.air_c == pytest.approx([daily_c(NOW)] * 24)


def test_a_zone_never_read_holds_the_assumed_air() -> None:
    day = Projection.recent(AirLog.of((), assumed=(11.0, 70.0)), NOW, BERLIN)
    assert (day.air_c[5], day.rh_pct[5], day.from_days) == (11.0, 70.0, 0)


def test_an_hour_never_read_lies_between_its_neighbours() -> None:
    # Nobody's sensor ran from 10:00 to 18:00: the gap is longer than the bridge.
    log = AirLog.of(
        AirReading(at=at, air_c=10.0 if at.hour <= 9 else 20.0, rh_pct=50.0)
        for at in (NOW.astimezone(UTC) - timedelta(hours=h) for h in range(10 * 24))
        if not 10 <= at.hour < 19
    )
    day = Projection.recent(log, NOW, UTC)
    assert day.air_c[9] == pytest.approx(10.0)
    assert day.air_c[14] == pytest.approx(15.0)
    assert day.air_c[19] == pytest.approx(20.0)


@pytest.mark.parametrize("name", ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "UTC", "Asia/Kolkata"])
def test_offsets_are_the_zone_s_own_all_year(name: str) -> None:
    zone = ZoneInfo(name)
    moments = 1767225600.0 + 3600.0 * np.arange(400 * 24, dtype=np.float64)
    singly = [datetime.fromtimestamp(s, zone).utcoffset().total_seconds() for s in moments]  # type: ignore[union-attr]
    assert list(utc_offsets_s(moments, zone)) == singly


def test_the_day_goes_with_the_clock_on_the_wall_through_its_change() -> None:
    day = Projection(air_c=tuple(float(h) for h in range(24)), rh_pct=(50.0,) * 24, nights_c=0.0, zone=BERLIN)
    log = AirLog.of([AirReading(at=datetime(2026, 3, 27, 12, tzinfo=BERLIN), air_c=12.0, rh_pct=50.0)])
    ahead = log.with_projection(day, days=10)
    for date in (28, 30):
        assert ahead.air_at(datetime(2026, 3, date, 15, tzinfo=BERLIN)).air_c == pytest.approx(15.0)


def test_a_heated_room_is_what_if() -> None:
    day = Projection.recent(a_log(14), NOW, BERLIN)
    heated = day.held_at(21.0)
    assert heated.air_c == (21.0,) * 24
    assert heated.nights_c == HEATED_NIGHTS_C
    vapour = [vapour_pressure_pa(c, rh) for c, rh in zip(day.air_c, day.rh_pct, strict=True)]
    assert [vapour_pressure_pa(21.0, rh) for rh in heated.rh_pct] == pytest.approx(vapour)
    log = a_log(14)
    soon = dry_at(ENAMEL, log.with_projection(heated), NOW, Dryness.RECOAT).at
    late = dry_at(ENAMEL, log.with_projection(day), NOW, Dryness.RECOAT).at
    assert soon is not None
    assert late is not None
    assert soon < late


def test_the_likely_moment_is_that_of_the_day_repeated() -> None:
    # If the days to come are like those past, the clock ahead must say what it would say afterwards.
    log = a_log(14)
    went_on = NOW - timedelta(hours=6)
    ahead = Outlook.of(log, Projection.recent(log, NOW, BERLIN)).band(ENAMEL, went_on, Dryness.RECOAT)
    afterwards = AirLog.of(
        AirReading(
            at=went_on + timedelta(minutes=10 * i), air_c=daily_c(went_on + timedelta(minutes=10 * i)), rh_pct=60.0
        )
        for i in range(3 * 144)
    )
    truth = dry_at(ENAMEL, afterwards, went_on, Dryness.RECOAT).at
    assert truth is not None
    assert ahead.likely.at is not None
    assert abs(ahead.likely.at - truth) < timedelta(minutes=3)
    assert ahead.likely.projected


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(Family),
    st.floats(0.0, 6.0),
    st.floats(-5.0, 25.0),
    st.floats(20.0, 95.0),
    st.floats(1.0, 60.0),
)
def test_early_is_not_after_likely_nor_likely_after_late(
    family: Family, nights_c: float, room_c: float, rh_pct: float, needed_h: float
) -> None:
    label = Label(family=family, hours={Dryness.RECOAT: needed_h})
    projection = Projection.steady(room_c, rh_pct, UTC, nights_c=nights_c)
    log = AirLog.of([AirReading(at=NOW, air_c=room_c, rh_pct=rh_pct)])
    found = Outlook.of(log, projection).band(label, NOW, Dryness.RECOAT)
    far = datetime.max.replace(tzinfo=UTC)
    assert (found.early or far) <= (found.likely.at or far) <= (found.late or far)


def test_a_coat_that_was_dry_before_the_last_reading_has_no_band() -> None:
    log = a_log(14, nights_c=(-2.0, 0.0, 2.0))
    found = Outlook.of(log, Projection.recent(log, NOW, BERLIN)).band(ENAMEL, NOW - timedelta(days=6), Dryness.RECOAT)
    assert found.early == found.likely.at == found.late
    assert not found.likely.projected


def test_wider_nights_make_a_wider_band() -> None:
    log = a_log(14)
    narrow, wide = (
        Outlook.of(log, Projection.steady(14.0, 60.0, BERLIN, nights_c=n)).band(ENAMEL, NOW, Dryness.RECOAT)
        for n in (1.0, 3.0)
    )
    assert wide.early < narrow.early < narrow.late < wide.late  # type: ignore[operator]


def test_a_band_may_have_no_late_end() -> None:
    log = AirLog.of([AirReading(at=NOW, air_c=6.0, rh_pct=50.0)])
    found = Outlook.of(log, Projection.steady(6.0, 50.0, UTC, nights_c=2.0)).band(ENAMEL, NOW, Dryness.RECOAT)
    assert found.late is None
    assert found.likely.at is not None


@pytest.mark.parametrize(
    "changed", [{"air_c": (20.0,) * 23}, {"rh_pct": (101.0,) * 24}, {"nights_c": -0.1}, {"nights_c": math.nan}]
)
def test_a_day_that_cannot_be_is_refused(changed: dict[str, object]) -> None:
    with pytest.raises(EngineError):
        Projection(**{"air_c": (20.0,) * 24, "rh_pct": (50.0,) * 24, "nights_c": 1.0, "zone": UTC, **changed})  # type: ignore[arg-type]


@given(st.lists(st.integers(1, 13), min_size=24, max_size=80))
def test_air_that_is_always_saturated_stays_saturated(hours_apart: list[int]) -> None:
    moments = np.cumsum(hours_apart)
    readings = [AirReading(at=NOW - timedelta(hours=float(moments[-1] - m)), air_c=20.0, rh_pct=100.0) for m in moments]
    assert Projection.recent(AirLog.of(readings), NOW, UTC).rh_pct == pytest.approx((100.0,) * 24)

"""The dry clock against maturity examples, rate ratios, and a fine numerical integration by scipy."""

import itertools
import math
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from stages.engine.airlog import AirLog, AirReading
from stages.engine.dryclock import age, dry_at, rate, share, window_closes_at
from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Family, Label

psychrolib.SetUnitSystem(psychrolib.SI)
START = datetime(2026, 1, 5, 8, tzinfo=UTC)
GAS_CONSTANT = 8.314462618


def at(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def a_label(**changed: object) -> Label:
    given_ = {"family": Family.OXIDATIVE, "hours": {Dryness.TACK_FREE: 4.0, Dryness.RECOAT: 16.0}, "lowest_c": -20.0}
    return Label(**{**given_, **changed})  # type: ignore[arg-type]


def a_log(*readings: tuple[float, float, float]) -> AirLog:
    return AirLog.of(AirReading(at=at(h), air_c=c, rh_pct=rh) for h, c, rh in readings)


def steady(air_c: float, rh_pct: float = 50.0) -> AirLog:
    return a_log((0, air_c, rh_pct), (1000, air_c, rh_pct))


# 12 h each at 10, 15, 20 and 25 °C, as steps of one second's rise: the log of the maturity examples.
STEPS_C = (10.0, 15.0, 20.0, 25.0)
SECOND_H = 1.0 / 3600.0


def a_log_of_steps() -> AirLog:
    ends = [(12.0 * i, c) for i, c in enumerate(STEPS_C)] + [
        (12.0 * (i + 1) - SECOND_H, c) for i, c in enumerate(STEPS_C)
    ]
    return a_log(*((h, c, 50.0) for h, c in ends))


# ---- rate ratios ----

# °C, ratio to 20 °C. ASTM C1074 eq. 2 with Q = 5000 K (computed).
ARRHENIUS_5000_K = [(0, 0.2868), (5, 0.3986), (10, 0.5475), (15, 0.7438), (25, 1.3311), (30, 1.7553), (40, 2.9723)]
# °C, ratio. Eurocode 2 Annex B: exp(-(4000/(273+T)-13.65)); rounded so that it is 0.9981, not 1, at 20 °C.
EUROCODE_2 = [(0, 0.3671), (10, 0.6161), (15, 0.7875), (20, 0.9981), (25, 1.2551), (30, 1.5662)]
# °C, ratio to 20 °C. van 't Hoff's rule: the rate doubles every 10 K.
VANT_HOFF = [(5, 0.3536), (10, 0.5), (15, 0.7071), (20, 1.0), (25, 1.4142), (30, 2.0)]
# °C, %, ratio to 23 °C, 50 %. Vapour-pressure deficits, form of Hu and Larson 2002; ASHRAE p_ws by psychrolib.
DEFICIT_RATIOS = [
    (10, 50, 0.437),
    (10, 85, 0.131),
    (15, 60, 0.485),
    (20, 50, 0.832),
    (20, 65, 0.583),
    (20, 80, 0.333),
    (20, 90, 0.166),
    (25, 50, 1.128),
    (30, 50, 1.511),
    (30, 80, 0.604),
]


@pytest.mark.parametrize(("celsius", "ratio"), ARRHENIUS_5000_K)
def test_arrhenius_ratios(celsius: float, ratio: float) -> None:
    label = a_label(reference_c=20.0, activation_kj_mol=5000 * GAS_CONSTANT / 1000)
    assert rate(label, float(celsius), 50.0) == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize(("celsius", "ratio"), EUROCODE_2)
def test_eurocode_ratios_but_for_their_rounded_kelvin(celsius: float, ratio: float) -> None:
    label = a_label(reference_c=20.0, activation_kj_mol=4000 * GAS_CONSTANT / 1000)
    # 273 for 273.15 shifts a ratio by up to 0.003.
    assert rate(label, float(celsius), 50.0) == pytest.approx(ratio / 0.9981, abs=0.003)


@pytest.mark.parametrize(("kj_mol", "from_c"), [(51.22, 20.0), (47.84, 10.0)])
def test_the_activation_energy_that_doubles_the_rate_over_ten_kelvin(kj_mol: float, from_c: float) -> None:
    # Arrhenius identity: R ln 2 / (1/T1 - 1/T2).
    label = a_label(reference_c=from_c, activation_kj_mol=kj_mol)
    assert rate(label, from_c + 10.0, 50.0) == pytest.approx(2.0, abs=1e-3)


@pytest.mark.parametrize(("celsius", "ratio"), VANT_HOFF)
def test_q10_ratios(celsius: float, ratio: float) -> None:
    assert rate(a_label(reference_c=20.0), float(celsius), 50.0) == pytest.approx(ratio, abs=1e-4)


@pytest.mark.parametrize(("celsius", "rh_pct", "ratio"), DEFICIT_RATIOS)
def test_a_water_based_film_goes_by_the_deficit(celsius: float, rh_pct: float, ratio: float) -> None:
    assert rate(a_label(family=Family.WATER), float(celsius), float(rh_pct)) == pytest.approx(ratio, rel=3e-3)


# From memory: no published figures for either were found.
@pytest.mark.parametrize(("rh_pct", "speed"), [(30, 1.0), (85, 1.0), (92.5, 0.75), (100, 0.5)])
def test_an_oxidative_film_is_slowed_in_damp_air_only(rh_pct: float, speed: float) -> None:
    assert rate(a_label(), 23.0, float(rh_pct)) == pytest.approx(speed)


@pytest.mark.parametrize("rh_pct", [10.0, 50.0, 100.0])
def test_a_solvent_film_goes_by_temperature_alone(rh_pct: float) -> None:
    assert rate(a_label(family=Family.SOLVENT), 13.0, rh_pct) == pytest.approx(0.5)


@pytest.mark.parametrize("family", Family)
@pytest.mark.parametrize("rh_pct", [40.0, 50.0, 90.0])
def test_an_hour_at_the_reference_is_an_hour(family: Family, rh_pct: float) -> None:
    label = a_label(family=family, reference_c=25.0, reference_rh_pct=rh_pct)
    assert rate(label, 25.0, rh_pct) == pytest.approx(1.0)


TABLE = ((10.0, 36.0), (23.0, 16.0), (35.0, 9.0))


# Log-linear between the label's temperatures: halfway, the geometric mean; held at the ends.
@pytest.mark.parametrize(
    ("celsius", "hours"),
    [(-5, 36.0), (10, 36.0), (16.5, math.sqrt(36 * 16)), (23, 16.0), (29, math.sqrt(16 * 9)), (35, 9.0), (45, 9.0)],
)
def test_a_label_s_table_is_log_linear_and_held_at_its_ends(celsius: float, hours: float) -> None:
    reached = dry_at(a_label(table=TABLE), steady(float(celsius)), START, Dryness.RECOAT)
    assert reached.at is not None
    assert (reached.at - START).total_seconds() / 3600 == pytest.approx(hours, abs=1e-6)


def test_a_water_based_table_holds_the_temperature_so_that_only_humidity_is_added() -> None:
    label = a_label(family=Family.WATER, table=TABLE)
    assert rate(label, 10.0, 50.0) == pytest.approx(16 / 36)
    assert rate(label, 10.0, 75.0) == pytest.approx(16 / 36 / 2)


@pytest.mark.parametrize(("celsius", "stands"), [(4.999, True), (5.0, False), (5.001, False)])
def test_a_film_stands_still_under_its_lowest_temperature(celsius: float, stands: bool) -> None:
    assert bool(rate(a_label(lowest_c=5.0), celsius, 50.0) == 0.0) is stands


def test_columns_of_air_give_what_single_values_give() -> None:
    label = a_label(lowest_c=5.0)
    air_c, rh_pct = np.array([2.0, 12.0, 30.0]), np.array([50.0, 95.0, 20.0])
    assert list(rate(label, air_c, rh_pct)) == [
        rate(label, float(c), float(h)) for c, h in zip(air_c, rh_pct, strict=True)
    ]


# ---- accumulation over a log ----


def test_the_varying_log_of_the_q10_example() -> None:
    # sum dt 2^((T - 20)/10) over 12 h each at 10, 15, 20, 25 °C: 43.456 h.
    assert age(a_label(reference_c=20.0), a_log_of_steps(), START, at(48)).hours == pytest.approx(43.456, abs=0.005)


def test_the_varying_log_of_the_equivalent_age_example() -> None:
    # ASTM C1074 eq. 2, Q 5000 K, 20 °C, the same log: 43.470 h.
    label = a_label(reference_c=20.0, activation_kj_mol=5000 * GAS_CONSTANT / 1000)
    assert age(label, a_log_of_steps(), START, at(48)).hours == pytest.approx(43.470, abs=0.005)


@pytest.mark.parametrize(("datum_c", "degree_hours"), [(-10.0, 1320.0), (0.0, 840.0)])
def test_the_varying_log_of_the_maturity_example(datum_c: float, degree_hours: float) -> None:
    # Nurse-Saul, ASTM C1074 eq. 1: a label whose hours at each step run as 1 / (T - T0) adds up the degree-hours.
    table = tuple((celsius, 1000.0 / (celsius - datum_c)) for celsius in STEPS_C)
    label = a_label(reference_c=20.0, table=table)
    assert age(label, a_log_of_steps(), START, at(48)).hours * (20.0 - datum_c) == pytest.approx(degree_hours, rel=1e-4)


def test_maturity_at_one_temperature_is_reached_when_the_textbook_says() -> None:
    # 3500 °C h at 23 °C over a datum of 0 °C takes 152 h (worked example of the maturity method).
    label = a_label(hours={Dryness.RECOAT: 3500.0 / 23.0})
    reached = dry_at(label, steady(23.0), START, Dryness.RECOAT)
    assert reached.at is not None
    assert (reached.at - START).total_seconds() / 3600 == pytest.approx(152, abs=0.5)


def test_damp_air_slows_from_the_moment_it_is_damp() -> None:
    # 70 to 100 % in six hours: three at full speed, three that fall straight from 1 to 0.5 (the model, from memory).
    assert age(a_label(), a_log((0, 23, 70), (6, 23, 100)), START, at(6)).hours == pytest.approx(5.25, abs=1e-9)


def test_the_label_s_table_bends_at_its_temperatures() -> None:
    # 10 to 35 °C in 25 h. Between two temperatures the rate is an exponential, whose mean is (b - a) / ln(b / a).
    slow, full, quick = 16 / 36, 1.0, 16 / 9
    expected = 13 * (full - slow) / math.log(full / slow) + 12 * (quick - full) / math.log(quick / full)
    found = age(a_label(table=TABLE), a_log((0, 10, 50), (25, 35, 50)), START, at(25)).hours
    assert found == pytest.approx(expected, rel=2e-6)


def reference_rate(label: Label, air_c: float, rh_pct: float) -> float:
    """The rate written a second time, with psychrolib for the vapour pressure."""
    if air_c < label.lowest_c:
        return 0.0
    speed = (label.q10 or (1.0 if label.family is Family.WATER else 2.0)) ** ((air_c - label.reference_c) / 10.0)
    if label.table:
        celsius, hours = zip(*label.table, strict=True)
        speed = math.exp(np.interp(23.0, celsius, np.log(hours)) - np.interp(air_c, celsius, np.log(hours)))
    if label.family is Family.OXIDATIVE and rh_pct > 85.0:
        speed *= 1.0 - (rh_pct - 85.0) / 30.0
    if label.family is Family.WATER:
        dryness = (100.0 - rh_pct) / 50.0
        if not label.table:
            dryness *= psychrolib.GetSatVapPres(air_c) / psychrolib.GetSatVapPres(23.0)
        speed *= dryness
    return float(speed)


def integrated_h(label: Label, log: AirLog) -> float:
    """Age over a whole log by scipy, in 400 straight steps between each two readings, cut where the rate jumps."""
    total = 0.0
    for i in range(len(log.seconds) - 1):
        cold, warm = float(log.air_c[i]), float(log.air_c[i + 1])
        jump = (label.lowest_c - cold) / (warm - cold) if warm != cold else -1.0
        cuts = [0.0, *([jump] if 0.0 < jump < 1.0 else []), 1.0]
        for begin, end in itertools.pairwise(cuts):
            part = begin + (end - begin) * np.linspace(1e-9, 1.0 - 1e-9, 401)
            air = zip(
                cold + part * (warm - cold), log.rh_pct[i] + part * (log.rh_pct[i + 1] - log.rh_pct[i]), strict=True
            )
            speeds = [reference_rate(label, float(c), float(h)) for c, h in air]
            total += float(integrate.simpson(speeds, x=part)) * float(log.seconds[i + 1] - log.seconds[i]) / 3600.0
    return total


labels = st.builds(
    a_label,
    family=st.sampled_from(Family),
    q10=st.sampled_from([None, 1.5, 2.0, 3.0]),
    table=st.sampled_from([(), TABLE]),
    lowest_c=st.sampled_from([-20.0, 5.0, 10.0]),
)
readings = st.lists(
    st.tuples(st.integers(1, 600), st.floats(-10.0, 40.0), st.floats(5.0, 100.0)), min_size=2, max_size=8
)


def a_random_log(rows: list[tuple[int, float, float]]) -> AirLog:
    minutes = np.cumsum([row[0] for row in rows])
    return a_log(*((float(m) / 60.0, c, h) for m, (_, c, h) in zip(minutes, rows, strict=True)))


@settings(max_examples=60, deadline=None)
@given(labels, readings)
def test_any_log_agrees_with_a_fine_integration_within_a_thousandth(
    label: Label, rows: list[tuple[int, float, float]]
) -> None:
    log = a_random_log(rows)
    first, last = (datetime.fromtimestamp(float(s), UTC) for s in (log.seconds[0], log.seconds[-1]))
    assert age(label, log, first, last).hours == pytest.approx(integrated_h(label, log), rel=1e-3, abs=1e-6)


@settings(max_examples=200, deadline=None)
@given(labels, readings, st.floats(-5.0, 60.0), st.floats(0.01, 40.0), st.floats(0.3, 3.0))
def test_dry_at_is_the_inverse_of_age(
    label: Label, rows: list[tuple[int, float, float]], applied_h: float, needed_h: float, factor: float
) -> None:
    label = a_label(family=label.family, q10=label.q10, table=label.table, hours={Dryness.RECOAT: needed_h})
    log, applied = a_random_log(rows), at(applied_h)
    reached = dry_at(label, log, applied, Dryness.RECOAT, factor)
    if reached.at is None:
        assert age(label, log, applied, applied + timedelta(days=400), factor).hours < needed_h
    else:
        # A moment is kept to the microsecond.
        assert age(label, log, applied, reached.at, factor).hours == pytest.approx(needed_h, abs=1e-8)


@settings(max_examples=100, deadline=None)
@given(labels, readings, st.floats(-5, 60), st.floats(0, 30), st.floats(0, 30))
def test_age_never_falls_and_adds_up(
    label: Label, rows: list[tuple[int, float, float]], applied_h: float, first_h: float, second_h: float
) -> None:
    log, applied = a_random_log(rows), at(applied_h)
    middle, end = applied + timedelta(hours=first_h), applied + timedelta(hours=first_h + second_h)
    parts = age(label, log, applied, middle).hours + age(label, log, middle, end).hours
    assert age(label, log, applied, end).hours == pytest.approx(parts, abs=1e-9)
    assert age(label, log, applied, end).hours >= age(label, log, applied, middle).hours - 1e-12


@settings(max_examples=50, deadline=None)
@given(readings, st.floats(0.5, 10.0))
def test_a_warmer_room_is_never_later(rows: list[tuple[int, float, float]], warmer_c: float) -> None:
    label = a_label(lowest_c=5.0)
    cold, warm = a_random_log(rows), a_random_log([(m, c + warmer_c, h) for m, c, h in rows])
    late, soon = (dry_at(label, log, START, Dryness.RECOAT).at for log in (cold, warm))
    assert late is None or (soon is not None and soon <= late)


# ---- standing still, horizon, gaps ----


def test_a_cold_night_only_puts_the_coat_off() -> None:
    # 8 h at the reference, a night of 10 h in the cold, and the other 8 h: dry 26 h after it went on.
    readings = [(0, 23, 50), (8, 23, 50), (8 + SECOND_H, 2, 50), (18, 2, 50), (18 + SECOND_H, 23, 50), (40, 23, 50)]
    reached = dry_at(a_label(lowest_c=5.0), a_log(*readings), START, Dryness.RECOAT)
    assert reached.at is not None
    assert abs(reached.at - at(26)) < timedelta(seconds=2)


def test_a_coat_in_the_cold_is_never_dry_and_one_just_warm_enough_is() -> None:
    assert dry_at(a_label(lowest_c=5.0), steady(4.9), START, Dryness.RECOAT).at is None
    assert dry_at(a_label(lowest_c=5.0), steady(5.0), START, Dryness.RECOAT).at is not None


@pytest.mark.parametrize(("days", "found"), [(0.66, False), (0.67, True)])
def test_nothing_is_promised_past_the_horizon(days: float, found: bool) -> None:
    reached = dry_at(a_label(), steady(23.0), START, Dryness.RECOAT, horizon_days=days)
    assert (reached.at is not None) is found
    assert reached.needed_h == 16.0


def test_saturated_air_never_dries_a_water_based_film() -> None:
    assert dry_at(a_label(family=Family.WATER), steady(20.0, 100.0), START, Dryness.RECOAT).at is None


def test_a_label_that_does_not_say_gives_no_moment() -> None:
    label = a_label(hours={})
    reached = dry_at(label, steady(23.0), START, Dryness.RECOAT)
    assert (reached.at, reached.needed_h) == (None, None)
    assert share(label, steady(23.0), START, at(5), Dryness.RECOAT) == 0.0


def test_hours_in_a_gap_are_assumed_and_said_to_be() -> None:
    log = a_log((0, 23, 50), (2, 23, 50), (10, 23, 50), (30, 23, 50))
    gone = age(a_label(), log, START, at(8))
    assert (gone.hours, gone.assumed_h) == (pytest.approx(8.0), pytest.approx(6.0))
    assert dry_at(a_label(), log, START, Dryness.RECOAT).assumed
    assert not dry_at(a_label(), log, START, Dryness.RECOAT, factor=0.1).assumed


def test_a_moment_after_the_last_reading_is_projected() -> None:
    log = a_log(*((float(h), 23.0, 50.0) for h in range(13)))
    soon, late = dry_at(a_label(), log, START, Dryness.TACK_FREE), dry_at(a_label(), log, START, Dryness.RECOAT)
    assert (soon.projected, late.projected) == (False, True)
    assert (soon.assumed, late.assumed) == (False, False)
    assert late.at == at(16)


def test_a_zone_never_read_runs_on_the_assumed_air() -> None:
    log = AirLog.of((), assumed=(13.0, 50.0))
    gone = age(a_label(), log, START, at(10))
    assert (gone.hours, gone.assumed_h) == (pytest.approx(5.0), pytest.approx(10.0))
    reached = dry_at(a_label(), log, START, Dryness.RECOAT)
    assert (reached.at, reached.assumed, reached.projected) == (at(32), True, True)


def test_a_single_reading_is_held_both_ways() -> None:
    assert age(a_label(), a_log((5, 23, 50)), START, at(10)).hours == pytest.approx(10.0)


# ---- share, factor, window, what was gained elsewhere ----


@pytest.mark.parametrize(("hours", "expected"), [(-1, 0.0), (0, 0.0), (4, 0.25), (16, 1.0), (90, 1.0)])
def test_share_of_the_way(hours: float, expected: float) -> None:
    assert share(a_label(), steady(23.0), START, at(hours), Dryness.RECOAT) == pytest.approx(expected)


def test_the_shop_s_factor_stretches_the_way() -> None:
    assert dry_at(a_label(), steady(23.0), START, Dryness.RECOAT, 1.5).at == at(24)
    assert share(a_label(), steady(23.0), START, at(12), Dryness.RECOAT, factor=1.5) == pytest.approx(0.5)


def test_age_gained_in_another_zone_counts() -> None:
    assert dry_at(a_label(), steady(23.0), START, Dryness.RECOAT, done_h=6.0).at == at(10)
    assert dry_at(a_label(), steady(23.0), START, Dryness.RECOAT, 1.5, done_h=6.0).at == at(18)
    assert dry_at(a_label(), steady(23.0), START, Dryness.RECOAT, done_h=17.0).at == START


def test_the_window_closes_by_the_clock_of_the_film() -> None:
    label = a_label(window_h=48.0)
    assert window_closes_at(label, steady(13.0), START) == at(96)
    assert window_closes_at(label, steady(13.0), START, done_h=24.0) == at(48)
    assert window_closes_at(a_label(), steady(13.0), START) is None
    assert window_closes_at(a_label(window_h=48.0, film_factor=2.0), steady(23.0), START) == at(48)


@pytest.mark.parametrize("factor", [0.0, -1.0, math.nan, math.inf])
def test_a_factor_that_cannot_be_is_refused(factor: float) -> None:
    with pytest.raises(EngineError):
        age(a_label(), steady(23.0), START, at(1), factor)


def test_a_moment_without_its_time_zone_is_refused() -> None:
    with pytest.raises(EngineError):
        age(a_label(), steady(23.0), datetime(2026, 1, 5), at(1))  # noqa: DTZ001


# ---- the clock on the wall ----

# Zone, when it went on, when 16 h later is. Clocks go on or back in the night between.
CHANGES = [
    ("Europe/Berlin", "2026-03-28T20:00", "2026-03-29T13:00"),
    ("Europe/Berlin", "2026-10-24T20:00", "2026-10-25T11:00"),
    ("America/New_York", "2026-03-07T20:00", "2026-03-08T13:00"),
    ("America/New_York", "2026-10-31T20:00", "2026-11-01T11:00"),
    ("Australia/Lord_Howe", "2026-04-04T20:00", "2026-04-05T11:30"),
]


@pytest.mark.parametrize(("name", "applied", "dry"), CHANGES)
def test_both_changes_of_the_clock_are_right_to_the_minute(name: str, applied: str, dry: str) -> None:
    zone = ZoneInfo(name)
    went_on = datetime.fromisoformat(applied).replace(tzinfo=zone)
    expected = datetime.fromisoformat(dry).replace(tzinfo=zone)
    log = AirLog.of([AirReading(at=went_on, air_c=23.0, rh_pct=50.0)])
    reached = dry_at(a_label(), log, went_on, Dryness.RECOAT)
    assert reached.at == expected
    assert reached.at.tzinfo is zone
    assert age(a_label(), log, went_on, expected).hours == pytest.approx(16.0)


def test_the_hour_that_comes_twice_is_two_hours() -> None:
    zone = ZoneInfo("Europe/Berlin")
    first = datetime(2026, 10, 25, 2, 30, tzinfo=zone, fold=0)
    again = datetime(2026, 10, 25, 2, 30, tzinfo=zone, fold=1)
    log = AirLog.of([AirReading(at=first, air_c=23.0, rh_pct=50.0)])
    assert age(a_label(), log, first, again).hours == pytest.approx(1.0)

"""Readings that look wrong. The limits are common practice, no published source; tested below, at and above each."""

import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.readings.jumps import Jumps, is_wild
from shop.readings.seen import Moved, Span, Wrong
from shop.readings.watch import is_silent, watch
from tests.shop.readings.seeing import (
    HOME,
    MOVED_ELSEWHERE,
    MOVED_HERE,
    NOTHING_MOVED,
    START,
    Elsewhere,
    Read,
    a_day,
    first_hour,
    found,
    found_at_home,
    log,
    noisy,
    seen,
)

GOOD, WILD, RESTLESS, STUCK = None, Wrong.WILD, Wrong.RESTLESS, Wrong.STUCK


# --- Jumps


@pytest.mark.parametrize(
    ("minutes", "air_c", "rh_pct", "wild"),
    [
        (5, 20 + 15.0, 50, False),  # 10 °C and 1 °C a minute
        (5, 20 + 15.1, 50, True),
        (5, 20 - 15.1, 50, True),
        (10, 20 + 20.0, 50, False),
        (30, 20 + 22.7, 50, False),  # 12 °C and 1.5 °C an hour
        (30, 20 + 22.8, 50, True),
        (5, 20, 50 - 49.9, False),
        (1, 20, 50 + 40.0, False),  # 35 % and 5 % a minute
        (1, 20, 50 + 40.1, True),
        (600, 20 - 37.0, 100, False),
        (600, 20 - 37.1, 100, True),
    ],
)
def test_a_jump_that_air_cannot_make_is_wild(minutes: float, air_c: float, rh_pct: float, wild: bool) -> None:
    before, after = seen([(0, 20.0, 50.0), (minutes, air_c, rh_pct)])
    assert is_wild(after, before) is wild


def test_one_wild_reading_leaves_those_after_it_alone() -> None:
    assert found_at_home([(0, 20, 50), (5, 45, 50), (10, 20.1, 50)]) == [GOOD, WILD, GOOD]


def test_a_jump_that_lasts_stays_out_until_it_comes_back_to_where_it_was() -> None:
    there: list[Read] = [(m, 40.0 + m / 1000, 50.0 + m % 3) for m in (5, 9, 15, 300, 600)]
    back: list[Read] = [(605, 31.1, 50), (610, 30.0, 50), (615, 20, 50)]
    assert found_at_home([(0, 20, 50), *there, *back]) == [GOOD, *[WILD] * 6, GOOD, GOOD]


def test_a_sensor_that_left_its_jump_after_days_may_be_where_the_air_has_gone_meanwhile() -> None:
    days = 5 * 1440
    assert found_at_home([(0, 20, 50), (5, 45, 50), (days, 4, 50)]) == [GOOD, WILD, GOOD]
    assert found_at_home([(0, 20, 50), (5, 45, 50), (10, 4, 50)]) == [GOOD, WILD, WILD]
    assert found_at_home([(0, 20, 50), (5, 45, 50), (days, 42, 50)]) == [GOOD, WILD, WILD]


def test_a_jump_that_somebody_took_in_is_where_the_next_reading_is_looked_at_from() -> None:
    home, (jumped, after) = seen(HOME), seen([(5, 45.0, 50), (10, 45.3, 50)])
    taken_in = jumped._replace(flag=WILD, decided=True)
    kept_out = taken_in._replace(out=True)
    for decided, wrong in ((taken_in, GOOD), (kept_out, WILD)):
        assert watch([*home, decided, after], begin=0, jumps=Jumps(), around=Elsewhere())[-1] is wrong


@pytest.mark.parametrize("bad", [1, 2, 3])
def test_bad_readings_at_the_very_beginning_do_not_keep_the_good_ones_out(bad: int) -> None:
    reads = [(5.0 * n, 45.0 if n < bad else 21 + n % 2 / 2, 50.0 + n % 3) for n in range(60)]
    assert found(reads) == [*[WILD] * bad, *[GOOD] * (60 - bad)]


def test_of_two_levels_at_the_beginning_the_first_is_believed_until_the_other_has_more_readings() -> None:
    reads = [(0, 21, 50), (5, 45, 50), (10, 45, 51), (15, 45, 50)]
    assert [found(reads[:n])[-1] for n in range(1, 5)] == [GOOD, WILD, GOOD, GOOD]
    assert found(reads) == [WILD, GOOD, GOOD, GOOD]


def test_once_a_sensor_has_read_for_an_hour_a_jump_is_never_where_it_belongs() -> None:
    reads = [(5.0 * n, 46 + n % 2 / 2, 50.0 + n % 3) for n in range(500)]
    assert set(found_at_home(reads)) == {WILD}


# --- Swings


@pytest.mark.parametrize(
    ("swing_c", "every_min"), [(14, 5), (14, 10), (14, 30), (10, 5), (8, 2), (6, 5), (5, 5), (4, 1), (25, 5)]
)
def test_a_sensor_that_swings_to_and_fro_is_flagged_from_its_first_swing_on(swing_c: float, every_min: float) -> None:
    reads = [(every_min * n, 20.0 + swing_c * (n % 2), 50.0 + n % 3) for n in range(120)]
    assert GOOD not in found_at_home(reads)[2:]


def test_a_humidity_that_swings_to_and_fro_is_flagged() -> None:
    reads = [(5.0 * n, 20.0 + n % 3 / 10, 40.0 + 30 * (n % 2)) for n in range(50)]
    assert set(found_at_home(reads)[2:]) == {RESTLESS}


def test_a_sensor_that_has_calmed_down_is_believed_again_and_what_it_swung_stays_out() -> None:
    swinging = [(5.0 * n, 20.0 + 14 * (n % 2), 50.0 + n % 3) for n in range(25)]
    calm = [(125 + 5.0 * n, 20.0 + n % 3 / 2, 50.0 + n % 3) for n in range(60)]
    wrong = found_at_home([*swinging, *calm])
    assert set(wrong[1:25]) == {RESTLESS}
    assert set(wrong[25 + 24 :]) == {GOOD}  # two hours on


def a_door(hour: float) -> float:
    """Every half hour a door stands open in winter: six degrees down at once, and up again in a quarter of an hour."""
    return 18.0 - 6.0 * math.exp(-(hour % 0.5) * 8)


@pytest.mark.parametrize(
    ("name", "air_c", "rh_pct"),
    [
        ("a summer's day in the yard", noisy(a_day(18, 8), 0.3), noisy(a_day(65, -25), 2)),
        ("a door in winter", noisy(a_door, 0.2), noisy(lambda h: 45 - 10 * math.exp(-(h % 0.5) * 8), 1)),
        ("a heater that goes on and off", lambda h: 20 + 1.5 * math.sin(h * 20), lambda h: 45 - 4 * math.sin(h * 20)),
        ("a wet floor", lambda h: 19 + h % 3 / 4, lambda h: 50 + 32 * math.exp(-(h % 4))),
        ("a noisy cheap sensor", noisy(a_day(20, 1), 1.4), noisy(a_day(50, 4), 5)),
    ],
)
@pytest.mark.parametrize("every_min", [1, 5, 15, 30])
def test_what_a_shops_air_does_is_not_flagged(
    name: str, air_c: Callable[[float], float], rh_pct: Callable[[float], float], every_min: float
) -> None:
    assert set(found(log(72, air_c, rh_pct, every_min=every_min))) == {GOOD}, name


# --- Stillness


def stood(hour: float) -> float:
    return 21.0


@pytest.mark.parametrize(
    ("moved", "hours"),
    [(MOVED_HERE, 6), (MOVED_ELSEWHERE, 16), (NOTHING_MOVED, 24), (Moved(anywhere_c=1.9, anywhere_pct=9.9), 24)],
)
def test_a_sensor_that_stands_still_is_stuck_the_sooner_the_nearer_something_moved(moved: Moved, hours: float) -> None:
    before, at = log(hours - 0.1, stood, stood), log(hours, stood, stood)
    assert set(found(before, moved)) == {GOOD}
    assert found(at, moved) == [GOOD, *[STUCK] * (len(at) - 1)]  # the first was a true reading


@pytest.mark.parametrize("hours", [13, 15, 15.9])
def test_a_closed_heated_room_may_stand_still_all_night_while_the_yard_cools(hours: float) -> None:
    room = log(hours, noisy(stood, 0.1), noisy(lambda h: 45, 0.4))
    assert set(found(room, MOVED_ELSEWHERE)) == {GOOD}


def test_a_stuck_sensor_whose_last_digit_trembles_is_stuck_too() -> None:
    reads = log(60, noisy(stood, 0.1), noisy(lambda h: 45, 0.4))
    assert first_hour(reads, found(reads), STUCK) == 24


@pytest.mark.parametrize(("spread_c", "stuck"), [(0.2, True), (0.3, False)])
def test_what_moves_by_more_than_a_sensors_resolution_is_not_still(spread_c: float, stuck: bool) -> None:
    reads = [(30.0 * n, 20 + spread_c * (n % 2), 50.0 + 5 * (n % 2)) for n in range(120)]
    assert (STUCK in found(reads)) is stuck


@pytest.mark.parametrize("pegged", [0.0, 45.0, 99.0, 100.0])
def test_a_humidity_that_is_pegged_while_the_temperature_lives_is_stuck(pegged: float) -> None:
    reads = log(72, noisy(a_day(18, 4), 0.2), lambda h: pegged)
    hour = first_hour(reads, found(reads), STUCK)
    assert hour == (24 if pegged >= 99 else 12)


def test_fog_may_stand_at_a_hundred_per_cent_for_a_night_while_it_grows_colder() -> None:
    assert set(found(log(14, lambda h: 12 - h / 2, lambda h: 100))) == {GOOD}


def test_a_temperature_that_is_pegged_while_the_humidity_lives_is_stuck() -> None:
    reads = log(72, stood, noisy(a_day(50, 12), 1))
    assert first_hour(reads, found(reads), STUCK) == 16
    hardly = log(72, stood, noisy(a_day(50, 4), 1))
    assert first_hour(hardly, found(hardly), STUCK) == 48


def test_a_few_readings_are_not_enough_to_call_a_sensor_stuck() -> None:
    reads: list[Read] = [(300.0 * n, 20, 50) for n in range(6)]
    assert set(found(reads[:5], MOVED_HERE)) == {GOOD}
    assert found(reads, MOVED_HERE) == [GOOD, *[STUCK] * 5]


def test_nobody_knows_what_stood_still_over_a_gap() -> None:
    reads: list[Read] = [(30.0 * n + (361 if n > 5 else 0), 20, 50) for n in range(12)]
    assert set(found(reads, MOVED_HERE)) == {GOOD}


def test_another_value_ends_the_stretch() -> None:
    reads = [*log(7, stood, stood), (430, 21.6, 50), (435, 21.6, 50)]
    assert found(reads, MOVED_HERE)[-2:] == [GOOD, GOOD]


def test_a_wild_reading_amid_a_stretch_stays_wild_and_does_not_end_it() -> None:
    reads = log(7, stood, stood)
    reads[20] = (101, 45, 21)
    wrong = found(reads, MOVED_HERE)
    assert wrong[20] is WILD
    assert {flag for n, flag in enumerate(wrong) if n not in (0, 20)} == {STUCK}


def test_a_sensor_that_was_stuck_and_lives_again_is_not_held_to_where_it_stuck() -> None:
    reads = [*log(48, stood, stood), (2885, 3.0, 70), (2890, 3.2, 71)]
    assert found(reads)[-2:] == [GOOD, GOOD]


def test_a_stretch_that_somebody_took_in_is_believed_until_it_changes() -> None:
    stretch = seen(log(30, stood, stood))
    taken_in = [r._replace(flag=STUCK, decided=True, pk=1) for r in stretch[1:]]
    more = seen([(1800 + 5.0 * n, 21, 21) for n in range(1, 100)])
    again = seen([(2300 + 5.0 * n, 24, 26) for n in range(300)])
    wrong = watch([stretch[0], *taken_in, *more, *again], begin=361, jumps=Jumps(), around=Elsewhere())
    assert set(wrong[361 : 361 + 99]) == {GOOD}
    assert set(wrong[361 + 100 :]) == {STUCK}


@pytest.mark.parametrize(("high_c", "wrong"), [(21.2, GOOD), (21.3, STUCK)])
def test_what_was_taken_in_long_ago_counts_as_long_as_nothing_moved_since(high_c: float, wrong: Wrong | None) -> None:
    span = Span(low_c=21, high_c=high_c, low_pct=21, high_pct=21 if wrong is None else 23)
    reads = seen(log(30, stood, stood))
    assert watch(reads, begin=0, jumps=Jumps(at_home=True), around=Elsewhere(taken_in=span))[-1] is wrong


def test_the_others_are_asked_for_whole_hours_and_once_for_each() -> None:
    others = Elsewhere()
    watch(seen(log(20, stood, stood, every_min=2)), begin=0, jumps=Jumps(), around=others)
    assert len(others.asked) == len(set(others.asked)) == 15
    assert {since for since, _ in others.asked} == {START}
    assert others.asked[0][1] == START + timedelta(hours=6)


# --- Silence


@pytest.mark.parametrize(("minutes", "silent"), [(15, False), (15.1, True)])
def test_a_sensor_is_silent_after_three_of_its_own_intervals(minutes: float, silent: bool) -> None:
    now = datetime(2026, 6, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    assert is_silent(now - timedelta(minutes=minutes), now - timedelta(days=9), timedelta(minutes=5), now) is silent
    assert is_silent(None, now - timedelta(minutes=minutes), timedelta(minutes=5), now) is silent


# --- However they come


@given(st.lists(st.tuples(st.integers(1, 90), st.sampled_from([20.0, 20.1, 24.0, 45.0])), max_size=60))
def test_each_reading_has_one_verdict(steps: list[tuple[int, float]]) -> None:
    minutes, reads = 0, []
    for step, air_c in steps:
        minutes += step
        reads.append((float(minutes), air_c, 50.0))
    assert len(found(reads, MOVED_HERE)) == len(reads)

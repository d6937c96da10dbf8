"""Stuck and wild readings. The limits are common practice, no published source; tested below, at and above each."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.readings.sample import Sample
from shop.readings.watch import Past, Run, Trust, Wrong, is_silent, is_wild, watch

START = datetime(2026, 6, 1, tzinfo=UTC)


def at(minutes: float, air_c: float = 20.0, rh_pct: float = 50.0) -> Sample:
    return Sample(at=START + timedelta(minutes=minutes), air_c=air_c, rh_pct=rh_pct)


def steady(hours: float, every_min: int = 30) -> list[Sample]:
    return [at(m) for m in range(0, int(hours * 60) + 1, every_min)]


def still(since: datetime, until: datetime) -> bool:
    return False


def moving(since: datetime, until: datetime) -> bool:
    return True


def flags(samples: Sequence[Sample], past: Past | None = None) -> list[Wrong | None]:
    return list(watch(samples, past or Past(), moving).wrong)


@pytest.mark.parametrize(
    ("minutes", "air_c", "rh_pct", "wild"),
    [
        (5, 20 + 15.0, 50, False),  # 10 °C and 1 °C a minute
        (5, 20 + 15.1, 50, True),
        (5, 20 - 15.1, 50, True),
        (20, 20 + 29.9, 50, False),
        (5, 20, 50 - 49.9, False),
        (1, 20, 50 + 40.0, False),  # 35 % and 5 % a minute
        (1, 20, 50 + 40.1, True),
        (600, -40, 100, False),
    ],
)
def test_a_jump_that_air_cannot_make_is_wild(minutes: float, air_c: float, rh_pct: float, wild: bool) -> None:
    assert is_wild(at(minutes, air_c, rh_pct), at(0)) is wild


def test_the_first_reading_of_all_cannot_be_wild() -> None:
    assert not is_wild(at(0, 50.0), None)


def test_one_wild_reading_leaves_those_after_it_alone() -> None:
    assert flags([at(0), at(5, 45.0), at(10, 20.1)]) == [None, Wrong.WILD, None]


def test_a_jump_that_lasts_stays_out_until_it_comes_back_to_where_it_was() -> None:
    samples = [at(0), *(at(m, 40.0 + m / 100) for m in (5, 9, 15, 300, 600)), at(605, 30.1), at(610, 30.0), at(615)]
    assert flags(samples) == [None, *[Wrong.WILD] * 6, None, None]


def test_a_jump_that_somebody_took_in_is_where_the_next_reading_is_looked_at_from() -> None:
    assert flags([at(605, 40.5)], Past(last=at(0), strayed=True)) == [Wrong.WILD]
    assert flags([at(605, 40.5)], Past(last=at(600, 40.0))) == [None]


def test_a_wild_first_reading_is_seen_by_what_came_before() -> None:
    assert flags([at(5, 45.0)], Past(last=at(0))) == [Wrong.WILD]


@pytest.mark.parametrize(
    ("hours", "others", "stuck"),
    [(5.5, moving, False), (6, moving, True), (6, still, False), (23.5, still, False), (24, still, True)],
)
def test_a_sensor_that_stands_still_is_stuck_sooner_while_others_move(
    hours: float, others: object, stuck: bool
) -> None:
    samples = steady(hours)
    found = watch(samples, Past(), moving if others is moving else still)
    assert found.wrong[0] is None
    assert set(found.wrong[1:]) == ({Wrong.STUCK} if stuck else {None})
    assert found.stuck_since is None


def test_a_few_readings_are_not_enough_to_call_a_sensor_stuck() -> None:
    assert set(flags(steady(8, every_min=120))) == {None}  # five
    assert flags(steady(10, every_min=120))[-1] is Wrong.STUCK  # six


def test_a_reading_that_moves_a_little_is_not_stuck() -> None:
    assert set(flags([at(30 * n, 20 + n % 2 / 10) for n in range(100)])) == {None}


def test_another_value_ends_the_run() -> None:
    samples = [*steady(7), at(430, 20.4), at(435, 20.4)]
    assert flags(samples)[-2:] == [None, None]


def test_a_wild_reading_amid_a_run_stays_wild_and_does_not_end_it() -> None:
    samples = steady(7)
    samples[3] = at(65, 45.0)
    found = flags(samples)
    assert found[3] is Wrong.WILD
    assert {flag for n, flag in enumerate(found) if n not in (0, 3)} == {Wrong.STUCK}


def test_a_run_that_began_before_is_carried_on_and_its_beginning_named() -> None:
    run = Run(values=at(0).values, since=START, count=12)
    found = watch([at(6 * 60), at(6 * 60 + 30)], Past(last=at(330), run=run), moving)
    assert found.wrong == (Wrong.STUCK, Wrong.STUCK)
    assert found.stuck_since == START


def test_a_run_that_somebody_took_in_is_believed_until_the_value_changes() -> None:
    run = Run(values=at(0).values, since=START, count=12, trust=Trust.BELIEVED)
    assert watch([at(3000)], Past(last=at(330), run=run), moving).wrong == (None,)


def test_a_run_that_is_known_to_be_stuck_stays_so_without_asking() -> None:
    run = Run(values=at(0).values, since=START, count=1, trust=Trust.STUCK)
    found = watch([at(10), at(20, 20.3)], Past(last=at(0), run=run), still)
    assert (found.wrong, found.stuck_since) == ((Wrong.STUCK, None), None)


def test_the_others_are_asked_once_an_hour_at_most() -> None:
    asked = []

    def ask(since: datetime, until: datetime) -> bool:
        asked.append((since, until))
        return False

    watch([at(m) for m in range(0, 20 * 60, 5)], Past(), ask)
    assert len(asked) == 14  # from the sixth hour to the nineteenth
    assert {since for since, _ in asked} == {START}


@pytest.mark.parametrize(("minutes", "silent"), [(15, False), (15.1, True)])
def test_a_sensor_is_silent_after_three_of_its_own_intervals(minutes: float, silent: bool) -> None:
    now = START + timedelta(minutes=minutes)
    assert is_silent(START, START - timedelta(days=9), timedelta(minutes=5), now) is silent
    assert is_silent(None, START, timedelta(minutes=5), now) is silent


SAMPLES = st.lists(
    st.tuples(st.integers(1, 90), st.sampled_from([20.0, 20.1, 24.0, 45.0]), st.sampled_from([50.0, 51.0, 95.0])),
    min_size=1,
    max_size=60,
)


@given(SAMPLES, st.integers(0, 60))
def test_a_sensor_is_judged_alike_whether_its_readings_come_at_once_or_in_two_parts(
    steps: list[tuple[int, float, float]], cut: int
) -> None:
    minutes, samples = 0, []
    for step, air_c, rh_pct in steps:
        minutes += step
        samples.append(at(minutes, air_c, rh_pct))
    at_once = list(watch(samples, Past(), moving).wrong)
    first = list(watch(samples[:cut], Past(), moving).wrong)
    second = watch(samples[cut:], past_after(samples[:cut], first), moving)
    together = [*first, *second.wrong]
    if second.stuck_since is not None:
        for n, sample in enumerate(samples[:cut]):
            if sample.at > second.stuck_since and together[n] is None:
                together[n] = Wrong.STUCK
    assert together == at_once


def past_after(samples: list[Sample], wrong: list[Wrong | None]) -> Past:
    """What the table would give: an oracle of its own, by looking back from the end."""
    tame = [(s, w) for s, w in zip(samples, wrong, strict=True) if w is not Wrong.WILD]
    if not tame:
        return Past()
    believed = [s for s, w in tame if w is None]
    latest = tame[-1]
    run = [latest]
    for pair in reversed(tame[:-1]):
        if pair[0].values != latest[0].values:
            break
        run.insert(0, pair)
    trust = Trust.STUCK if latest[1] else Trust.OPEN
    return Past(
        last=believed[-1] if believed else None,
        run=Run(values=latest[0].values, since=run[0][0].at, count=len(run), trust=trust),
        strayed=wrong[-1] is Wrong.WILD,
    )

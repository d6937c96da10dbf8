"""The shop's factor on a label's hours: against integration by scipy, and on simulated shops."""

import math
import random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from stages.engine.errors import EngineError
from stages.engine.learning import PRIOR_SPREAD, SEEN_SPREAD, SLIPS, Observation, Seen, ShopFactor, learn, learn_ratio

SAND_H = 16.0


def seen(share: float, dry: bool) -> Observation:
    """A coat tried at a share of the label's hours."""
    return Observation(age_h=share * SAND_H, needed_h=SAND_H, seen=Seen.DRY if dry else Seen.TACKY)


def a_shop_of(factor: float, count: int, seed: int, slips: float = 0.0) -> list[Observation]:
    """Trials in a shop whose coats take this factor: each coat with its own spread, tried at any time around it."""
    dice = random.Random(seed)
    found = []
    for _ in range(count):
        share = math.exp(dice.uniform(-1.0, 1.0)) * factor
        takes = factor * math.exp(dice.gauss(0.0, SEEN_SPREAD))
        dry = share >= takes if dice.random() >= slips else dice.random() < 0.5
        found.append(seen(share, dry))
    return found


shares = st.floats(0.2, 5.0)
trials = st.lists(st.builds(seen, shares, st.booleans()), max_size=25)


def test_a_fresh_product_starts_from_its_label() -> None:
    fresh = learn([])
    assert (fresh.factor, fresh.count) == (1.0, 0)
    assert fresh == ShopFactor()
    assert fresh.low < 1.0 < fresh.high


REACH = 2.25  # nine of the prior's standard deviations; beyond it lies less than the tolerance whatever was seen


@settings(max_examples=25, deadline=None)
@given(trials)
def test_it_agrees_with_integration_by_scipy(observations: list[Observation]) -> None:
    def density(log: float) -> float:
        deviations = np.array([item.share_log - log for item in observations]) / SEEN_SPREAD
        signs = np.array([1.0 if item.seen is Seen.DRY else -1.0 for item in observations])
        chances = SLIPS / 2.0 + (1.0 - SLIPS) * stats.norm.cdf(signs * deviations)
        return float(stats.norm.pdf(log, scale=PRIOR_SPREAD) * np.prod(chances))

    peak = max(density(log) for log in np.linspace(-REACH, REACH, 91))

    def integral(power: int) -> float:
        scaled = integrate.quad(lambda log: log**power * density(log) / peak, -REACH, REACH, limit=400, epsabs=1e-9)
        return float(scaled[0])

    whole = integral(0)
    mean = integral(1) / whole
    found = learn(observations)
    assert found.log_mean == pytest.approx(mean, abs=2e-5)
    assert found.spread == pytest.approx(math.sqrt(integral(2) / whole - mean**2), abs=2e-4)


@pytest.mark.parametrize("factor", [0.6, 0.85, 1.0, 1.3, 1.8])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_it_comes_to_the_truth_of_a_simulated_shop(factor: float, seed: int) -> None:
    found = learn(a_shop_of(factor, 300, seed))
    assert found.factor == pytest.approx(factor, rel=0.08)
    assert found.spread < 0.06


@pytest.mark.parametrize("factor", [0.7, 1.5])
def test_it_comes_to_the_truth_though_one_answer_in_ten_is_a_slip(factor: float) -> None:
    found = learn(a_shop_of(factor, 600, seed=4, slips=0.1))
    assert found.factor == pytest.approx(factor, rel=0.08)


def test_its_band_holds_the_truth_about_as_often_as_it_says() -> None:
    # 8 of 10 by its own word, in shops that differ as the prior has it.
    dice, held, shops = random.Random(11), 0, 400
    for seed in range(shops):
        factor = math.exp(dice.gauss(0.0, PRIOR_SPREAD))
        found = learn(a_shop_of(factor, 8, seed, slips=SLIPS))
        held += found.low <= factor <= found.high
    assert held / shops == pytest.approx(0.8, abs=0.06)  # three standard deviations of a share of 400


@given(trials, st.randoms(use_true_random=False))
def test_the_order_does_not_matter(observations: list[Observation], dice: random.Random) -> None:
    shuffled = list(observations)
    dice.shuffle(shuffled)
    assert learn(shuffled) == learn(observations)


@given(shares)
def test_one_odd_observation_never_makes_it_jump(share: float) -> None:
    steady = [seen(0.8, False), seen(1.2, True)] * 10
    settled = learn(steady).factor
    for dry in (False, True):
        assert learn([*steady, seen(share, dry)]).factor == pytest.approx(settled, rel=0.07)
        assert abs(learn([seen(share, dry)]).log_mean) < PRIOR_SPREAD  # not even the first one


@given(trials, shares)
def test_a_tacky_coat_never_shortens_the_hours_and_a_dry_one_never_lengthens_them(
    observations: list[Observation], share: float
) -> None:
    before = learn(observations).log_mean
    assert learn([*observations, seen(share, False)]).log_mean >= before - 1e-9
    assert learn([*observations, seen(share, True)]).log_mean <= before + 1e-9


def test_what_goes_without_saying_teaches_next_to_nothing() -> None:
    # Dry long after the label's hours, tacky right after the coat went on.
    found = learn([seen(6.0, True), seen(0.15, False)] * 20)
    assert found.factor == pytest.approx(1.0, abs=0.02)
    assert found.spread > 0.9 * PRIOR_SPREAD


def test_another_dryness_of_the_same_product_counts_alike() -> None:
    sand = Observation(age_h=24.0, needed_h=16.0, seen=Seen.TACKY)
    handle = Observation(age_h=72.0, needed_h=48.0, seen=Seen.TACKY)
    assert learn([sand]) == learn([handle])


@pytest.mark.parametrize("field", ["age_h", "needed_h"])
@pytest.mark.parametrize("hours", [0.0, -1.0, math.nan, math.inf])
def test_hours_that_are_none_are_refused(field: str, hours: float) -> None:
    values: dict[str, Any] = {"age_h": 1.0, "needed_h": 1.0, "seen": Seen.DRY, field: hours}
    with pytest.raises(EngineError) as error:
        Observation(**values)
    assert error.value.field == field


def test_amounts_that_were_measured_teach_the_shop_s_own_use() -> None:
    truth, dice = math.log(1.3), random.Random(5)
    logs = [truth + dice.gauss(0.0, 0.1) for _ in range(40)]
    few, many = learn_ratio(logs[:4]), learn_ratio(logs)
    assert many.factor == pytest.approx(1.3, rel=0.05)
    assert many.spread < few.spread < learn_ratio([]).spread
    assert learn_ratio([]).factor == 1.0


def test_one_odd_boat_moves_what_is_known_of_its_use_little() -> None:
    steady = [math.log(1.1)] * 10
    before, after = learn_ratio(steady), learn_ratio([*steady, math.log(4.0)])
    assert after.factor == pytest.approx(before.factor, rel=0.02)


def test_one_measurement_is_weighed_as_bayes_rule_weighs_two_normals() -> None:
    """Closed form for a normal prior and a normal likelihood; the share of slips moves it by little near the prior."""
    seen = math.log(1.1)
    closed = seen / SEEN_SPREAD**2 / (1 / PRIOR_SPREAD**2 + 1 / SEEN_SPREAD**2)
    assert learn_ratio([seen]).log_mean == pytest.approx(closed, rel=0.05)

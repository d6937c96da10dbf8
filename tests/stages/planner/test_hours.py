"""What the shop's record teaches of its hours: it finds the truth, and no odd boat makes it jump."""

import math
from typing import Any

import numpy as np
import pytest
import scipy.stats
from hypothesis import assume, given
from hypothesis import strategies as st

from stages.planner import student
from stages.planner.errors import PlannerError
from stages.planner.hours import BEND, USUAL, USUAL_SPREAD, HoursBelief, learn

ratios = st.floats(0.3, 3.0)


def a_shop(middle: float, spread: float, boats: int, seed: int, odd: float = 0.0) -> list[float]:
    """Boats of a shop whose ratio's middle and spread are known; a share of them took five times as long."""
    draw = np.random.default_rng(seed)
    logs = math.log(middle) + spread * draw.standard_normal(boats)
    return [float(ratio) for ratio in np.exp(logs + math.log(5) * (draw.random(boats) < odd))]


def test_before_any_boat_the_formula_is_believed() -> None:
    assert learn([]) == USUAL
    assert USUAL.factor == pytest.approx(1.0)


@pytest.mark.parametrize(("middle", "spread"), [(0.6, 0.2), (1.0, 0.35), (1.8, 0.35), (2.5, 0.5), (0.9, 0.15)])
@pytest.mark.parametrize("seed", range(3))
def test_a_simulated_shop_is_learnt(middle: float, spread: float, seed: int) -> None:
    """800 boats: the mean to four of its own standard errors, the spread to a tenth."""
    learnt = learn(a_shop(middle, spread, 800, seed))
    assert abs(learnt.mean - math.log(middle)) < 4 * spread / math.sqrt(800) + 0.01
    assert learnt.spread == pytest.approx(spread, rel=0.1)
    assert learnt.factor == pytest.approx(middle * math.exp(spread**2 / 2), rel=0.08)


def test_it_comes_nearer_with_every_handful_of_boats() -> None:
    shops = [a_shop(1.7, 0.3, 160, seed) for seed in range(30)]

    def off(boats: int) -> float:
        return float(np.mean([abs(learn(shop[:boats]).mean - math.log(1.7)) for shop in shops]))

    assert off(0) > off(5) > off(20) > off(160)


@pytest.mark.parametrize("known", [0, 5, 40])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_the_next_boat_stays_under_a_stated_share_as_often_as_it_says(share: float, known: int) -> None:
    """Calibration: one boat more of each of 600 shops, their truth drawn from what is believed before any boat.

    Three standard errors of 600 cases at 0.1 are 0.037, at 0.5 0.061.
    """
    draw = np.random.default_rng(9)
    spreads = USUAL.spread * np.sqrt(USUAL.freedom / draw.chisquare(USUAL.freedom, 600))
    middles = np.exp(USUAL.mean + spreads / math.sqrt(USUAL.weight) * draw.standard_normal(600))
    shops = [a_shop(middles[n], spreads[n], known + 1, seed=n) for n in range(600)]
    under = [boats[-1] < learn(boats[:-1]).likely(1.0, share) for boats in shops]
    assert float(np.mean(under)) == pytest.approx(share, abs=3 * math.sqrt(share * (1 - share) / 600))


def test_where_one_in_twenty_is_odd_the_rest_is_still_learnt() -> None:
    learnt = learn(a_shop(1.2, 0.25, 400, seed=3, odd=0.05))
    plain = math.exp(float(np.mean(np.log(a_shop(1.2, 0.25, 400, seed=3, odd=0.05)))))
    assert abs(math.exp(learnt.mean) - 1.2) < abs(plain - 1.2) / 2


@given(boats=st.lists(ratios, max_size=12), odd=st.floats(1e-3, 1e3))
def test_one_odd_boat_moves_the_mean_by_no_more_than_its_bent_pull(boats: list[float], odd: float) -> None:
    """The bound follows from the loss being at least ``weight`` curved: BEND * spread / weight."""
    moved = learn([*boats, odd]).mean - learn(boats).mean
    assert abs(moved) <= BEND * USUAL_SPREAD / USUAL.weight + 1e-9


@given(seed=st.integers(0, 10_000), odd=st.floats(1e-3, 1e3))
def test_once_ten_boats_are_known_an_odd_one_changes_the_hours_by_less_than_a_tenth(seed: int, odd: float) -> None:
    boats = a_shop(1.3, 0.2, 10, seed)
    assert learn([*boats, odd]).factor / learn(boats).factor == pytest.approx(1.0, abs=0.1)


@given(boats=st.lists(ratios, min_size=1, max_size=10), data=st.data())
def test_the_order_of_the_boats_is_no_matter(boats: list[float], data: st.DataObject) -> None:
    one, other = learn(data.draw(st.permutations(boats))), learn(boats)
    assert (one.mean, one.spread) == pytest.approx((other.mean, other.spread), abs=1e-9)


@given(boats=st.lists(ratios, min_size=1, max_size=10), longer=st.floats(1.0, 3.0))
def test_boats_that_took_longer_are_never_believed_quicker(boats: list[float], longer: float) -> None:
    assert learn([ratio * longer for ratio in boats]).mean >= learn(boats).mean - 1e-9


@given(boats=st.lists(st.floats(0.8, 1.25), min_size=1, max_size=10))
def test_without_odd_boats_the_mean_is_the_conjugate_normal_update_s(boats: list[float]) -> None:
    """Gelman and others, Bayesian Data Analysis (3rd ed.), eq. 2.12: means weighed by their precisions."""
    logs = [math.log(ratio) for ratio in boats]
    closed = (USUAL.weight * USUAL.mean + sum(logs)) / (USUAL.weight + len(logs))
    assume(all(abs(y - closed) < BEND * USUAL_SPREAD for y in logs))
    assert learn(boats).mean == pytest.approx(closed, abs=1e-9)


def with_moments(mean: float, sd: float, n: int) -> list[float]:
    """An even number of ratios whose logarithms have this mean and sample standard deviation."""
    off = sd * math.sqrt((n - 1) / n)
    return [math.exp(mean + off), math.exp(mean - off)] * (n // 2)


def test_the_plain_update_is_that_of_a_worked_example() -> None:
    """Clyde and others, An Introduction to Bayesian Thinking, section 4.1, tap water, here in hundreds.

    Prior 35, 25, 156.25, 24; 28 samples, mean 55.5239, s 23.254; posterior mean 45.8428, scale of the mean 2.9457 on
    52 degrees of freedom, 95 % of it between 39.9319 and 51.7537.
    """
    before = HoursBelief(mean=0.35, spread=0.125, weight=25.0, freedom=24)
    learnt = learn(with_moments(0.555239, 0.23254, 28), before, bend=math.inf)
    of_mean = learnt.spread / math.sqrt(learnt.weight)
    low, high = (learnt.mean + of_mean * student.quantile(share, learnt.freedom) for share in (0.025, 0.975))
    assert (learnt.weight, learnt.freedom) == (53.0, 52)
    assert (learnt.mean, of_mean) == pytest.approx((0.458428, 0.029457), abs=1e-6)
    assert (low, high) == pytest.approx((0.399319, 0.517537), abs=1e-6)


@given(boats=st.lists(ratios, min_size=2, max_size=10))
def test_the_plain_update_is_murphy_s_normal_inverse_gamma(boats: list[float]) -> None:
    """Murphy 2007, Conjugate Bayesian analysis of the Gaussian distribution, section 6: mu, V, a, b."""
    logs = np.log(boats)
    n, mean = len(logs), float(np.mean(logs))
    kappa, shape, rate = USUAL.weight, USUAL.freedom / 2, USUAL.freedom * USUAL.spread**2 / 2
    rate += float(np.sum((logs - mean) ** 2)) / 2 + kappa * n * (mean - USUAL.mean) ** 2 / (2 * (kappa + n))
    learnt = learn(boats, bend=math.inf)
    assert learnt.mean == pytest.approx((kappa * USUAL.mean + n * mean) / (kappa + n), abs=1e-9)
    assert learnt.freedom * learnt.spread**2 / 2 == pytest.approx(rate, rel=1e-6)
    assert learnt.freedom / 2 == shape + n / 2


@pytest.mark.parametrize("share", [0.01, 0.1, 0.25, 0.5, 0.8, 0.9, 0.99])
def test_the_next_boat_s_hours_are_those_of_the_normal_inverse_gamma_drawn_in_two_steps(share: float) -> None:
    """A variance from scipy's invgamma, a mean given it, a boat given both; integrated over the variance."""
    belief = HoursBelief(mean=0.2, spread=0.3, weight=5.0, freedom=9)
    variance = scipy.stats.invgamma(belief.freedom / 2, scale=belief.freedom * belief.spread**2 / 2)
    cases = variance.ppf((np.arange(20_000) + 0.5) / 20_000)
    at = math.log(belief.likely(1.0, share))
    under = scipy.stats.norm.cdf(at, belief.mean, np.sqrt(cases * (1 + 1 / belief.weight)))
    assert float(np.mean(under)) == pytest.approx(share, abs=2e-5)


def test_the_spread_that_estimates_add_up_has_the_next_boat_s_10_and_90_percent_points() -> None:
    belief = learn(a_shop(1.4, 0.3, 5, seed=1))
    normal = scipy.stats.norm(belief.mean, belief.next_spread)
    assert [math.exp(normal.ppf(share)) for share in (0.1, 0.9)] == pytest.approx(
        [belief.likely(1.0, share) for share in (0.1, 0.9)]
    )


@pytest.mark.parametrize("ratio", [0.0, -1.0, math.inf, math.nan])
def test_hours_that_cannot_be_are_refused(ratio: float) -> None:
    with pytest.raises(PlannerError):
        learn([ratio])


@pytest.mark.parametrize(
    "field", [{"spread": 0.0}, {"spread": 2.1}, {"weight": 0.0}, {"freedom": 0}, {"mean": math.nan}]
)
def test_a_belief_that_is_none_is_refused(field: dict[str, Any]) -> None:
    with pytest.raises(PlannerError):
        HoursBelief(**field)

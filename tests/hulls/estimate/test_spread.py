"""Ranges of sums, against closed forms, a reference library and a simulation."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from hulls.estimate import LogNormal, Uncertain, likely_range

Z90 = 1.2815515655446004


def test_a_log_normal_by_its_mean_and_standard_deviation() -> None:
    """Mean 10, sd 2: mu 2.282975, sigma 0.198042 (simulation manual's log-normal relations, computed)."""
    made = LogNormal.of_mean(10, 2)
    assert (made.mu, made.sigma) == pytest.approx((2.282975, 0.198042), abs=1e-6)
    assert made.mean == pytest.approx(10)


def test_a_log_normal_by_its_middle_and_its_ninety_per_cent_point() -> None:
    """P50 8 and P90 14: sigma 0.436671, mean 8.800267, P10 4.571429 (identity, computed with scipy)."""
    made = LogNormal(mu=math.log(8), sigma=math.log(14 / 8) / Z90)
    assert (made.sigma, made.mean, made.quantile(0.1)) == pytest.approx((0.436671, 8.800267, 4.571429), abs=1e-5)


@given(mean=st.floats(0.1, 1e5), spread=st.floats(0.01, 1.5))
def test_a_sum_of_one_part_has_that_part_s_own_range(mean: float, spread: float) -> None:
    """Closed form, by scipy."""
    reference = stats.lognorm(s=spread, scale=mean * math.exp(-(spread**2) / 2))
    low, high = likely_range([Uncertain(mean=mean, spread=spread)])
    assert (low, high) == pytest.approx((reference.ppf(0.1), reference.ppf(0.9)), rel=1e-9)


@given(
    means=st.lists(st.floats(1, 1e4), min_size=2, max_size=6),
    spread=st.floats(0.05, 1.0),
)
def test_parts_that_go_together_are_as_one(means: list[float], spread: float) -> None:
    """Closed form: a log-normal factor on a sum."""
    parts = [Uncertain(mean=mean, spread=spread, together="materials") for mean in means]
    one = likely_range([Uncertain(mean=sum(means), spread=spread)])
    assert likely_range(parts) == pytest.approx(one, rel=1e-9)


CASES = [
    [Uncertain(mean=m, spread=0.4) for m in (90, 450, 300, 240, 60, 700)],
    [Uncertain(mean=800, spread=0.35), *(Uncertain(mean=m, spread=0.12, together="m") for m in (40, 200, 90))],
    [Uncertain(mean=100, spread=0.6), Uncertain(mean=100, spread=0.2), Uncertain(mean=1000, spread=0.3)],
]


@pytest.mark.parametrize("parts", CASES)
def test_the_range_of_a_sum_is_that_of_a_simulation(parts: list[Uncertain]) -> None:
    """400,000 seeded draws; Fenton's sum is an approximation, good to 2 % at these spreads."""
    draw = np.random.default_rng(20260101)
    shared = {part.together: draw.standard_normal(400_000) for part in parts if part.together}
    total = np.zeros(400_000)
    for part in parts:
        deviate = shared[part.together] if part.together else draw.standard_normal(400_000)
        total += part.mean * np.exp(part.spread * deviate - part.spread**2 / 2)
    assert likely_range(parts) == pytest.approx(tuple(np.quantile(total, [0.1, 0.9])), rel=0.02)


def test_many_parts_apart_are_surer_than_one_as_big() -> None:
    apart = likely_range([Uncertain(mean=100, spread=0.4)] * 9)
    whole = likely_range([Uncertain(mean=900, spread=0.4)])
    assert whole[0] < apart[0] < 900 < apart[1] < whole[1]

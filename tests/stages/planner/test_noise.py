"""What is drawn for a replay follows what is believed."""

import math

import numpy as np
import pytest
import scipy.stats

from stages.planner.errors import PlannerError
from stages.planner.hours import HoursBelief
from stages.planner.noise import QUIET, Noise, Wet, damp, dry_days, slow
from stages.planner.problem import Job, Problem, Step

DRAWS = 4000


def two_boats() -> Problem:
    """Two boats with one step of the same kind each, and a step without hands."""
    steps = (
        *(Step(key=key, job=key, sittings=(8,), skill="wood", kind="planking") for key in "ab"),
        Step(key="c", job="a", sittings=(8,)),
    )
    return Problem(horizon=10, jobs=(Job(key="a"), Job(key="b")), steps=steps)


def test_hours_follow_student_s_t_and_boats_share_what_is_not_known_of_their_kind() -> None:
    """Against scipy's t by Kolmogorov and Smirnov, and the closed correlation 1 / (weight + 1) of the logarithms."""
    belief = HoursBelief(mean=0.2, spread=0.3, weight=4.0, freedom=30)
    noise, draw = Noise(hours={"planking": belief}), np.random.default_rng(5)
    drawn = np.array([slow(two_boats(), noise, draw) for _ in range(DRAWS)])
    logs = np.log(drawn[:, :2]) + math.log(belief.factor)
    reference = scipy.stats.t(belief.freedom, belief.mean, belief.scale)
    assert scipy.stats.kstest(logs[:, 0], reference.cdf).pvalue > 0.01
    assert np.corrcoef(logs.T)[0, 1] == pytest.approx(1 / (belief.weight + 1), abs=0.05)
    assert np.all(drawn[:, 2] == 1.0)


def test_what_dries_in_the_same_fortnight_shares_its_air() -> None:
    noise, draw = Noise(air_spread=0.2, coat_spread=0.1), np.random.default_rng(5)
    planned = np.array([0, 10, 3000])
    logs = np.log([damp(noise, planned, draw) for _ in range(DRAWS)])
    assert np.std(logs, axis=0) == pytest.approx(math.hypot(0.2, 0.1), rel=0.05)
    together = np.corrcoef(logs.T)
    assert together[0, 1] == pytest.approx(0.2**2 / (0.2**2 + 0.1**2), abs=0.05)
    assert together[0, 2] == pytest.approx(0.0, abs=0.05)


def test_wet_days_are_a_markov_chain() -> None:
    """Its share of wet days in the long run is after_dry / (after_dry + 1 - after_wet), and wet days come in spells."""
    wet = Wet(days={"dry day": tuple((96 * day, 96 * day + 8) for day in range(DRAWS))}, after_dry=0.25, after_wet=0.6)
    dry = dry_days(wet, np.random.default_rng(5))
    assert wet.share == pytest.approx(0.25 / 0.65)
    assert float(np.mean(~dry)) == pytest.approx(wet.share, abs=0.03)
    assert float(np.mean(~dry[1:][~dry[:-1]])) == pytest.approx(0.6, abs=0.04)


def test_what_is_quiet_changes_nothing() -> None:
    draw = np.random.default_rng(5)
    assert np.all(slow(two_boats(), QUIET, draw) == 1.0)
    assert np.all(damp(QUIET, np.array([0, 500]), draw) == 1.0)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(PlannerError):
        Noise(air_spread=-0.1)
    with pytest.raises(PlannerError):
        Wet(days={}, after_dry=1.2, after_wet=0.5)
    with pytest.raises(PlannerError):
        Wet(days={"a": ((0, 8),), "b": ()}, after_dry=0.2, after_wet=0.5)

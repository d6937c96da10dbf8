"""Scores of forecasts: against the published formulas and a reference library."""

import pytest
import scipy.stats
import scoringrules
from hypothesis import given
from hypothesis import strategies as st

from stages.planner.errors import PlannerError
from stages.planner.scores import HitShare, interval_score, pinball

days = st.floats(-1e4, 1e4)
shares = st.floats(0.01, 0.99)


@pytest.mark.parametrize(
    ("low", "high", "happened", "outside", "score"),
    # Gneiting and Raftery 2007, eq. 43, by hand
    [(10, 20, 15, 0.2, 10), (10, 20, 8, 0.2, 30), (10, 20, 24, 0.2, 50), (2, 6, 7, 0.1, 24), (5, 9, 5, 0.5, 4)],
)
def test_the_interval_score(low: float, high: float, happened: float, outside: float, score: float) -> None:
    assert interval_score(low, high, happened, outside) == pytest.approx(score, abs=1e-9)


@pytest.mark.parametrize(
    ("quantile", "happened", "share", "loss"),
    # Koenker and Bassett 1978, by hand
    [
        (10, 12, 0.5, 1.0),
        (10, 12, 0.9, 1.8),
        (10, 8, 0.9, 0.2),
        (10, 12, 0.1, 0.2),
        (10, 8, 0.1, 1.8),
        (7, 10, 0.25, 0.75),
    ],
)
def test_the_pinball_loss(quantile: float, happened: float, share: float, loss: float) -> None:
    assert pinball(quantile, happened, share) == pytest.approx(loss, abs=1e-9)


@given(ends=st.tuples(days, days), happened=days, outside=shares)
def test_they_are_those_of_a_reference_library(ends: tuple[float, float], happened: float, outside: float) -> None:
    low, high = sorted(ends)
    assert interval_score(low, high, happened, outside) == pytest.approx(
        float(scoringrules.interval_score(happened, low, high, outside)), rel=1e-9, abs=1e-6
    )
    assert pinball(low, happened, outside) == pytest.approx(
        float(scoringrules.quantile_score(happened, low, outside)), rel=1e-9, abs=1e-6
    )


@given(ends=st.tuples(days, days), happened=days, outside=shares)
def test_the_interval_score_is_the_sum_of_its_ends_losses(
    ends: tuple[float, float], happened: float, outside: float
) -> None:
    low, high = sorted(ends)
    ends_losses = pinball(low, happened, outside / 2) + pinball(high, happened, 1 - outside / 2)
    assert interval_score(low, high, happened, outside) == pytest.approx(2 / outside * ends_losses, rel=1e-9, abs=1e-6)


def test_fourteen_of_twenty_is_no_evidence_against_eighty_percent() -> None:
    """Wilson 1927; 95 % from 0.4810 to 0.8545, computed with scipy."""
    low, high = HitShare(hits=14, of=20).between
    assert (low, high) == pytest.approx((0.4810, 0.8545), abs=1e-4)
    assert low < 0.8 < high


@given(of=st.integers(1, 3000), data=st.data())
def test_the_range_of_a_hit_share_is_scipy_s(of: int, data: st.DataObject) -> None:
    hits = data.draw(st.integers(0, of))
    reference = scipy.stats.binomtest(hits, of).proportion_ci(method="wilson")
    assert HitShare(hits=hits, of=of).between == pytest.approx((reference.low, reference.high), abs=1e-9)


def test_what_is_no_range_and_no_share_is_refused() -> None:
    with pytest.raises(PlannerError):
        interval_score(3, 2, 1)
    with pytest.raises(PlannerError):
        pinball(1, 2, 1.0)
    with pytest.raises(PlannerError):
        HitShare(hits=0, of=0)
    with pytest.raises(PlannerError):
        HitShare(hits=3, of=2)

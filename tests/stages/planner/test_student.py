"""Student's t: against printed tables and a reference library."""

import pytest
import scipy.stats

from stages.planner import student


@pytest.mark.parametrize(
    ("freedom", "share", "t"),
    # Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.10 (from memory)
    [
        (1, 0.975, 12.706),
        (2, 0.95, 2.920),
        (5, 0.9, 1.476),
        (10, 0.975, 2.228),
        (30, 0.995, 2.750),
        (120, 0.975, 1.980),
    ],
)
def test_the_printed_table(freedom: int, share: float, t: float) -> None:
    assert student.quantile(share, freedom) == pytest.approx(t, abs=6e-4)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 8, 31, 52, 1007, 4008])
@pytest.mark.parametrize("share", [1e-6, 0.01, 0.3, 0.5, 0.9, 0.9999])
def test_it_is_scipy_s(freedom: int, share: float) -> None:
    t = scipy.stats.t.ppf(share, freedom)
    assert student.quantile(share, freedom) == pytest.approx(t, rel=1e-6, abs=1e-9)
    assert student.below(t, freedom) == pytest.approx(share, rel=1e-6)

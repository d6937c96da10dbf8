import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.lines import LinesError
from hulls.lines.simpson import simpson


def test_it_gives_the_published_waterplane() -> None:
    # Worked example of ship calculations: 120 m long, half-ordinates at seven stations, 1206.67 m² for both sides.
    halves = [0, 3.7, 5.9, 7.6, 7.5, 4.6, 0.1]

    area = 2 * simpson(halves, 120 / 6)

    assert area == pytest.approx(1207, abs=0.5)
    assert area * 1.025 / 100 == pytest.approx(12.37, abs=0.005)  # its tonnes per centimetre in sea water


def test_it_gives_the_second_published_waterplane() -> None:
    # Data of a published exercise, 80 m long; the answer by the rule itself.
    assert 2 * simpson([0.2, 4, 5, 5.2, 5, 4, 0.2], 80 / 6) == pytest.approx(650.67, abs=0.01)


@given(st.lists(st.floats(-5, 5), min_size=4, max_size=4), st.floats(0.1, 10), st.integers(1, 8))
def test_it_is_exact_for_any_cubic(powers: list[float], length: float, pairs: int) -> None:
    def value(x: float) -> float:
        return sum(c * x**n for n, c in enumerate(powers))

    spacing = length / (2 * pairs)
    exact = sum(c * length ** (n + 1) / (n + 1) for n, c in enumerate(powers))

    assert simpson([value(spacing * n) for n in range(2 * pairs + 1)], spacing) == pytest.approx(exact, abs=1e-6)


def test_girths_of_the_parabolic_hull_leave_its_slope_out() -> None:
    # Girth pi r (1 - u^2) along 5 m integrates to 4.712389 m²; the true skin is 4.772643 m², by quadrature: 1.3 % more.
    girths = [math.pi * 0.45 * (1 - (n / 6 - 1) ** 2) for n in range(13)]

    assert simpson(girths, 5 / 12) == pytest.approx(4.712389, abs=1e-6)


@pytest.mark.parametrize("ordinates", [[], [1.0], [1.0, 2.0], [1.0, 2.0, 3.0, 4.0]])
def test_an_even_number_of_ordinates_or_too_few_are_refused(ordinates: list[float]) -> None:
    with pytest.raises(LinesError, match="odd number"):
        simpson(ordinates, 1.0)

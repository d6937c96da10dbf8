"""One quantity over time: its line read back from the path data, its grid, its band."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine.errors import EngineError
from stages.pictures.strips import FINE, Series, draw_strip, rounded_out
from stages.pictures.timeline import WIDTH, Timeline
from tests.stages.pictures.drawn import points, strokes

LINE = Timeline(0.0, 1000.0)
columns = st.lists(st.floats(-40, 100, allow_subnormal=False), min_size=2, max_size=60)


def a_series(values: list[float], *, known: list[bool] | None = None, **more: object) -> Series:
    seconds = np.linspace(LINE.start_s, LINE.end_s, len(values))
    measured = np.array([True] * (len(values) - 1) if known is None else known)
    return Series(name="Air", unit="°C", seconds=seconds, values=np.array(values), known=measured, **more)  # type: ignore[arg-type]


@given(columns)
def test_the_line_drawn_is_the_line_given(values: list[float]) -> None:
    strip = draw_strip(a_series(values), LINE, top=30, height=90)
    low, high, _step = rounded_out((min(values), max(values)), 3)
    assert strip.view_box == f"0 0 {WIDTH} {FINE * 90}"
    read = points(strip.known)
    assert [x for x, _y in read] == pytest.approx(np.linspace(0, WIDTH, len(values)), abs=0.5)
    shown = [high - (high - low) * y / (FINE * 90) for _x, y in read]
    assert shown == pytest.approx(values, abs=0.5 * (high - low) / (FINE * 90) + 1e-9)


@given(columns)
def test_the_grid_holds_the_line_and_is_numbered(values: list[float]) -> None:
    strip = draw_strip(a_series(values), LINE, top=30, height=90)
    numbers = [float(line.label) for line in strip.grid if line.label]
    assert numbers[0] <= min(values)
    assert max(values) <= numbers[-1]
    assert (strip.grid[0].y, strip.grid[-1].y) == (strip.bottom, strip.top)
    labelled = [line.y for line in strip.grid if line.label]
    assert all(a - b >= 14 for a, b in itertools.pairwise(labelled))  # as high as the words


@given(st.floats(-1000, 1000), st.floats(0, 1000), st.integers(1, 6))
def test_the_step_of_a_grid_is_a_round_number(least: float, length: float, lines: int) -> None:
    low, high, step = rounded_out((least, least + length), lines)
    assert low <= least + 1e-6
    assert high >= least + length - 1e-6
    assert low < high
    assert f"{step:.0e}"[0] in "125"
    assert step >= 1.0
    assert round((high - low) / step) <= lines + 2


def test_a_gap_is_drawn_apart() -> None:
    strip = draw_strip(a_series([10, 11, 12, 13], known=[True, False, True]), LINE, top=0, height=90)
    assert len(strokes(strip.known)) == 2
    assert len(strokes(strip.assumed)) == 1


def test_a_long_line_stays_known_when_it_is_thinned_and_its_gap_stays_a_gap() -> None:
    values = [20.0 + np.sin(n / 50) for n in range(5000)]
    known = [n != 2500 for n in range(4999)]
    strip = draw_strip(a_series(values, known=known), LINE, top=0, height=90)
    assert len(strokes(strip.assumed)) == 1
    assert len(points(strip.assumed)) == 2
    assert sum(map(len, strokes(strip.known))) <= 122


def test_the_band_opens_where_the_two_part() -> None:
    lower, upper = np.array([10.0, 10.0, 9.0, 8.0]), np.array([10.0, 10.0, 11.0, 12.0])
    strip = draw_strip(a_series([10, 10, 10, 10], lower=lower, upper=upper), LINE, top=0, height=90)
    found = points(strip.band)
    assert len(found) == 6  # three moments, out and back
    assert found[0] == found[-1]
    assert found[0][0] == pytest.approx(WIDTH / 3, abs=1)
    assert not draw_strip(a_series([10, 10], lower=lower[:2], upper=upper[:2]), LINE, top=0, height=90).band


@pytest.mark.parametrize(("limit", "seen"), [(9.9, 0), (10.0, 1), (15.0, 1), (20.0, 1), (20.1, 0)])
def test_a_limit_is_drawn_where_it_is_in_the_picture(limit: float, seen: int) -> None:
    strip = draw_strip(a_series([10, 20], limits=(limit,)), LINE, top=5, height=100)
    assert len(strip.limits) == seen
    if limit == 15.0:
        assert strip.limits == (55,)


@pytest.mark.parametrize(
    ("values", "known", "more"),
    [([10.0], [], {}), ([10.0, 11.0], [], {}), ([10.0, 11.0], [True], {"lower": np.array([1.0])})],
)
def test_columns_that_do_not_fit_together_are_refused(
    values: list[float], known: list[bool], more: dict[str, object]
) -> None:
    with pytest.raises(EngineError):
        a_series(values, known=known, **more)

"""Few points that show the same line, and short path data that says the same points."""

import itertools
import random

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stages.pictures.lines import MOST_POINTS, area, band, path, runs, thinned
from tests.stages.pictures.drawn import points, strokes

values = st.lists(st.floats(-50, 60), min_size=1, max_size=1500)
drawn = st.lists(st.tuples(st.integers(-20, 1600), st.integers(-400, 900)), min_size=2, max_size=40)


@given(values, st.integers(4, MOST_POINTS), st.randoms(use_true_random=False))
def test_thinning_keeps_the_ends_the_least_and_the_most(column: list[float], most: int, dice: random.Random) -> None:
    seconds = np.cumsum([dice.uniform(1.0, 900.0) for _ in column])
    line = np.array(column)
    kept = thinned(seconds, line, most)
    assert len(kept) <= most
    assert (np.diff(kept) > 0).all()
    assert (kept[0], kept[-1]) == (0, len(column) - 1)
    assert line[kept].min() == line.min()
    assert line[kept].max() == line.max()


def test_a_short_line_is_kept_whole() -> None:
    seconds = np.arange(MOST_POINTS, dtype=np.float64)
    assert thinned(seconds, np.sin(seconds)).tolist() == list(range(MOST_POINTS))


def test_a_spike_between_a_hundred_thousand_readings_is_still_seen() -> None:
    seconds, line = np.arange(105_120, dtype=np.float64) * 300.0, np.full(105_120, 20.0)
    line[70_001], line[70_002] = 35.0, 2.0
    kept = thinned(seconds, line)
    assert {70_001, 70_002} <= set(kept.tolist())


@given(drawn)
def test_path_data_says_the_same_points(line: list[tuple[int, int]]) -> None:
    assert points(path(line)) == line


@given(drawn)
def test_path_data_is_short(line: list[tuple[int, int]]) -> None:
    assert len(path(line)) <= 11 * len(line) + 6


def test_one_point_is_no_line() -> None:
    assert path([(1, 2)]) == path([]) == area([(1, 2)], 9) == band([(1, 2)], [(1, 3)]) == ""


@given(drawn)
def test_an_area_lies_under_its_line_down_to_the_floor(line: list[tuple[int, int]]) -> None:
    found = points(area(line, 1000))
    assert found == [*line, (line[-1][0], 1000), (line[0][0], 1000)]


def test_a_band_goes_out_on_one_line_and_back_on_the_other() -> None:
    assert points(band([(0, 1), (5, 2)], [(0, 3), (5, 9)])) == [(0, 1), (5, 2), (5, 9), (0, 3)]


@given(drawn, st.data())
def test_every_stretch_is_drawn_either_as_known_or_as_not(line: list[tuple[int, int]], data: st.DataObject) -> None:
    joined = data.draw(st.lists(st.booleans(), min_size=len(line) - 1, max_size=len(line) - 1))
    stretches = list(itertools.pairwise(line))
    for wanted in (True, False):
        found = [pair for stroke in strokes(runs(line, joined, wanted)) for pair in itertools.pairwise(stroke)]
        assert found == [pair for pair, is_joined in zip(stretches, joined, strict=True) if is_joined is wanted]

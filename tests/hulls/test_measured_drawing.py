"""A hull with its measures: each line as long as what it measures, on one scale with the drawing."""

import re

import pytest

from hulls.drawing import UNITS_PER_M
from hulls.lines import HULL_TYPES, Principal, filled_in
from hulls.measured_drawing import SECTION_UNITS, Measure, draw_measured

WORDS = {"length_m": "length", "beam_m": "beam", "depth_m": "depth", "end_depth_m": "ends"}
BOAT = Principal(length_m=4.9, beam_m=0.88, depth_m=0.31, end_depth_m=0.58)


def by_words(measures: tuple[Measure, ...]) -> dict[str, Measure]:
    return {measure.words: measure for measure in measures}


def reach(measure: Measure) -> float:
    """How long the line of a measure is, in units of the drawing, without the strokes at its ends."""
    x, y, way, end = re.match(r"M(\S+) (\S+?)([HV])(\S+?)M", measure.d).groups()  # type: ignore[union-attr]
    return abs(float(end) - float(x if way == "H" else y))


@pytest.mark.parametrize("kind", HULL_TYPES)
def test_each_measure_is_as_long_as_what_it_measures(kind: str) -> None:
    drawn = draw_measured(filled_in(BOAT, HULL_TYPES[kind]), HULL_TYPES[kind], WORDS)
    side = by_words(drawn.measures)
    expected = {"length": BOAT.length_m, "ends": BOAT.end_depth_m, "depth": BOAT.depth_m}
    for words, value_m in expected.items():
        assert reach(side[words]) == pytest.approx(value_m * UNITS_PER_M, abs=0.11)
    assert reach(by_words(drawn.section_measures)["beam"]) == pytest.approx(SECTION_UNITS)


@pytest.mark.parametrize("kind", HULL_TYPES)
def test_the_section_has_the_proportions_of_the_beam_and_the_depth_and_both_sides_alike(kind: str) -> None:
    drawn = draw_measured(filled_in(BOAT, HULL_TYPES[kind]), HULL_TYPES[kind], WORDS)
    points = [tuple(map(float, point.split())) for point in drawn.section[1:].split("L")]
    across = max(x for x, _y in points) - min(x for x, _y in points)
    high = max(y for _x, y in points) - min(y for _x, y in points)
    assert high / across == pytest.approx(BOAT.depth_m / BOAT.beam_m, rel=0.01)
    assert [(-x, y) for x, y in reversed(points)] == points


def test_everything_lies_within_the_sheet() -> None:
    drawn = draw_measured(BOAT, next(iter(HULL_TYPES.values())), WORDS)
    left, top, width, height = map(float, drawn.view_box.split())
    for measure in drawn.measures:
        assert left < measure.x < left + width
        assert top < measure.y < top + height

"""Tables laid out for the loft: lines one way, stations the other."""

import math
from collections.abc import Callable
from functools import partial
from itertools import pairwise

import pytest

from hulls.lines import Offsets, measure_offsets
from hulls.offsets.reading import TableError, read_text
from shop.sheets.problems import RowProblem, SheetError
from tests.hulls.offsets.loft_tables import (
    DEPTH_IN,
    HALF_IN,
    INCH,
    across,
    area_m2,
    decimals,
    down,
    eighths,
    titled,
    volume_m3,
)

Write = Callable[[float], str]
PLUS, PLAIN = partial(eighths, plus=True), partial(eighths, plus=False)


def read(text: str) -> Offsets:
    found = read_text(text)
    assert isinstance(found, Offsets)
    return found


def refused(text: str) -> list[RowProblem]:
    with pytest.raises(TableError) as caught:
        read_text(text)
    return caught.value.problems


@pytest.mark.parametrize("layout", [across, down, titled])
@pytest.mark.parametrize("write", [PLUS, PLAIN], ids=["with plus marks", "without"])
def test_a_hull_of_known_area_is_told_within_the_spread(layout: Callable[[Write], str], write: Write) -> None:
    found = measure_offsets(read(layout(write)))

    assert abs(found.outside_area_m2 / area_m2() - 1) * 100 < found.spread_pct
    assert found.spread_pct < 1.5
    assert found.volume_m3 == pytest.approx(volume_m3(), rel=1e-2)
    assert found.beam_m == pytest.approx(2 * HALF_IN * INCH, abs=INCH / 8)
    assert found.sheer_length_m > found.length_m == pytest.approx(16 * 0.3048)


def test_the_two_layouts_and_the_names_of_lines_tell_one_hull() -> None:
    assert read(down(PLUS)) == read(titled(PLUS))
    spaced = read(across(PLUS))
    assert [station.points for station in spaced.stations] == [s.points for s in read(down(PLUS)).stations]
    assert [station.x_m for station in spaced.stations] == pytest.approx([n * 0.3048 for n in range(17)])


@pytest.mark.parametrize(("unit", "unit_in"), [("mm", 1 / 25.4), ("cm", 1 / 2.54), ("in", 1.0), ("ft", 12.0)])
def test_a_unit_in_the_corner_holds_for_every_cell_that_names_none(unit: str, unit_in: float) -> None:
    text = titled(decimals(unit_in)).replace("Line", f"Station ({unit})", 1)

    assert measure_offsets(read(text)).outside_area_m2 == pytest.approx(area_m2(), rel=3e-3)
    with_commas = text.replace(".", ",")
    assert measure_offsets(read(with_commas)).outside_area_m2 == pytest.approx(area_m2(), rel=3e-3)


SMALL = """Station,0 ft,4 ft,8 ft
Sheer height,1-0-0,1-0-0,1-0-0
Keel height,0-0-0,0-0-0,0-0-0
Buttock 6 in,-,0-2-0,-
WL 4 in,0-0-0,0-9-0,0-0-0
Sheer half-breadth,0-0-0,1-0-0,0-0-0
"""


def test_waterlines_buttocks_sheer_and_keel_are_points_of_the_section() -> None:
    middle = read(SMALL).stations[1]

    told = [(height / INCH, breadth / INCH) for height, breadth in middle.points]
    assert [number for point in told for number in point] == pytest.approx([0, 0, 2, 6, 4, 9, 12, 12])


def test_the_skin_begins_at_the_rabbet_where_one_is_told() -> None:
    middle = read(SMALL + "Rabbet height,0-1-0,0-1-0,0-1-0\nRabbet half-breadth,0-0-0,0-0-4,0-0-0\n").stations[1]

    assert (middle.keel_m / INCH, middle.points[0][1] / INCH) == pytest.approx((1, 0.5))


def test_a_flat_bottom_whose_buttocks_are_level_is_read() -> None:
    text = SMALL.replace("-,0-2-0,-", "-,0-0-0,-") + "Buttock 8 in,-,0-0-0,-\n"

    assert measure_offsets(read(text)).outside_area_m2 > measure_offsets(read(SMALL)).outside_area_m2


@pytest.mark.parametrize(
    ("old", "new", "row", "column", "words"),
    [
        ("WL 4 in,0-0-0,0-9-0", "WL 4 in,0-0-0,0-9-9", 5, "4 ft", "inch of eighths"),
        ("WL 4 in,0-0-0,0-9-0", "WL 4 in,0-0-0,wide", 5, "4 ft", "wide"),
        ("Buttock 6 in,-,0-2-0", "Buttock 6 in,-,0-8-0", 4, "4 ft", "Buttock 6 in crosses WL 4 in"),
        ("Buttock 6 in,-,0-2-0", "Buttock 6 in,-,1-2-0", 4, "4 ft", "crosses"),
        ("WL 4 in", "WL 14 in", 5, "0 ft", "crosses the sheer"),
        ("WL 4 in,0-0-0,0-9-0", "WL 12 in,0-0-0,0-6-0", 5, "4 ft", "two half-breadths are told for one height"),
        ("WL 4 in,0-0-0,0-9-0,0-0-0", "WL 4 in,0-0-0,0-9-0,0-0-0,0-1-0", 5, "", "5 cells, but there are 4 titles"),
        ("Keel height,0-0-0,0-0-0", "Keel height,0-0-0,0-6-0", 4, "4 ft", "crosses the keel"),
        ("Keel height,0-0-0,0-0-0", "Keel height,0-0-0,2-0-0", 2, "4 ft", "The sheer lies below the keel"),
        ("Sheer half-breadth,0-0-0,1-0-0", "Sheer half-breadth,0-0-0,-", 2, "4 ft", "both needed"),
        ("Sheer height", "Sheer", 2, "Sheer", "heights or half-breadths"),
        ("WL 4 in", "WL 4", 5, "WL 4", "unit"),
        ("WL 4 in", "Coaming height", 5, "Coaming height", "Nobody knows this line"),
        ("WL 4 in", "Height WL 4 in", 5, "Height WL 4 in", "A waterline has half-breadths"),
        ("Keel height", "Sheer height", 3, "Sheer height", "twice"),
    ],
)
def test_what_is_wrong_is_told_by_its_row_and_column(old: str, new: str, row: int, column: str, words: str) -> None:
    assert old in SMALL
    problems = refused(SMALL.replace(old, new))

    assert (problems[0].row, problems[0].column) == (row, column)
    assert words in problems[0].reason


def test_a_waterline_at_the_chine_s_height_has_its_half_breadth() -> None:
    chine = "Chine height,-,0-4-0,-\nChine half-breadth,-,{},-\n"

    assert read(SMALL + chine.format("0-9-0")) == read(SMALL)
    assert "two half-breadths" in refused(SMALL + chine.format("0-11-0"))[0].reason


@pytest.mark.parametrize(
    "text",
    [
        "Station (m),0,1.2,2.4\nSheer height,0,3,0,3,0,3\nKeel height,0,0,0\nWL 0.1,0,0,0\n",
        "Station (m),Sheer height,Keel height,WL 0.1\n0,0.3,0,0\n1,2,0,3,0,0\n2.4,0.3,0,0\n",
    ],
)
def test_decimal_commas_among_commas_between_cells_are_told_by_their_row(text: str) -> None:
    (problem,) = refused(text)

    assert (problem.row, problem.column) in {(2, ""), (3, "")}
    assert "decimal commas" in problem.reason


def test_stations_that_are_not_apart_are_refused() -> None:
    (problem,) = refused(SMALL.replace("0 ft,4 ft,8 ft", "0,1,2") + "Station spacing,0 ft\n")

    assert (problem.row, problem.column) == (7, "0")
    assert "more than zero" in problem.reason


def test_with_the_stations_down_a_bad_cell_is_told_by_its_station_s_row() -> None:
    text = down(PLUS).replace("S8\t8 ft\t1-0-0", "S8\t8 ft\tone foot")

    (problem,) = refused(text)
    assert (problem.row, problem.column) == (11, "Heights Sheer")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (SMALL.replace("0 ft,4 ft,8 ft", "0,1,2"), "Say where the stations stand"),
        (SMALL.replace("8 ft", "4 ft"), "crossed"),
        (SMALL + "".join(f"WL {n / 100} in,-,0-1-0,-\n" for n in range(1, 130)), "120 lines at most"),
        ("\n".join(",".join(row.split(",")[:2]) for row in SMALL.splitlines()), "two stations"),
    ],
)
def test_a_table_that_is_no_hull_is_refused_in_a_sentence(text: str, words: str) -> None:
    with pytest.raises((SheetError, TableError), match=words):
        read_text(text)


def test_the_hull_of_these_tables_is_as_its_formula_says() -> None:
    # The area amidships by integration: 2/3 of half the beam by the depth, on each side.
    middle = read(across(PLUS)).stations[8]
    area = sum((b[0] - a[0]) * (a[1] + b[1]) for a, b in pairwise(middle.points))
    assert area == pytest.approx(2 * 2 / 3 * HALF_IN * DEPTH_IN * INCH**2, rel=1e-2)
    assert math.isclose(middle.x_m, 8 * 0.3048)

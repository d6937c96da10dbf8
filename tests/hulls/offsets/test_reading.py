"""Tables as people and programs write them."""

import io

import pytest

from hulls.lines import Offsets, Taped, measure_offsets
from hulls.offsets.kept import kept
from hulls.offsets.reading import TableError, read_table, read_text
from shop.sheets.problems import SheetError
from tests.hulls.lines.tables import half_cylinder, half_ellipsoid

FOOT, INCH = 0.3048, 0.0254  # exact: NIST SP 811 (2008), appendix B.6

WEDGE_M = "station_m,height_m,half_breadth_m\n0,0,0\n0,0.3048,0\n3.048,0,0.3048\n3.048,0.3048,0.3048\n"
WEDGE = Offsets.of_points([(0, 0, 0), (0, FOOT, 0), (10 * FOOT, 0, FOOT), (10 * FOOT, FOOT, FOOT)])


@pytest.mark.parametrize(
    "text",
    [
        WEDGE_M,
        "Station (m);Height (m);Half-breadth (m)\n0;0;0\n0;0,3048;0\n3,048;0;0,3048\n3,048;0,3048;0,3048\n",
        "station_mm\theight_mm\thalf_breadth_mm\n0\t0\t0\n0\t304.8\t0\n3048\t0\t304.8\n3048\t304.8\t304.8\n",
        "station,height,half breadth\n0-0-0,0-0-0,0-0-0\n0-0-0,1-0-0,0-0-0\n10-0-0,0-0-0,1-0-0\n10-0-0,1-0-0,1-0-0\n",
        "station_ft,height_in,half_breadth_in\n0,0,0\n0,12,0\n10,0,12\n10,12,12\n",
        'station,height,half-breadth\n0 in,0 in,0 in\n0 in,"12 in",0 in\n10 ft,0 in,12 in\n"10\'","1\'",30.48 cm\n',
        WEDGE_M.replace("0,0,0\n", "0.0,-0.0,1.2e-17\n", 1).replace("station_m", "sep=,\nstation_m"),
    ],
)
def test_one_table_in_many_writings_is_one_hull(text: str) -> None:
    found = read_text(text)

    assert isinstance(found, Offsets)
    assert measure_offsets(found).outside_area_m2 == pytest.approx(measure_offsets(WEDGE).outside_area_m2)
    assert measure_offsets(found).volume_m3 == pytest.approx(measure_offsets(WEDGE).volume_m3)


def test_plus_marks_are_sixteenths() -> None:
    found = read_text("station,height,half-breadth\n0-0-0,0-0-0,0-0-0\n5-0-0,0-0-0,0-0-0\n5-0-0,1-2-3+,1-2-3-\n")

    assert isinstance(found, Offsets)
    assert found.stations[1].points[1] == pytest.approx((14.4375 * INCH, 14.3125 * INCH))


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_a_table_that_a_program_wrote_is_read_back(encoding: str) -> None:
    lines = Offsets.of_points(half_cylinder(0.4, 5))

    assert read_table(io.BytesIO(kept(lines).encode(encoding))) == lines


def test_taped_stations_may_lack_a_girth_or_a_breadth() -> None:
    found = read_text("station,girth,half-breadth\n4 ft,40 in,\n8 ft,,17 1/4 in\n12 ft,41 in,13 in\n")

    assert isinstance(found, tuple)
    assert found[0] == Taped(x_m=4 * FOOT, girth_m=40 * INCH)
    assert found[1].half_breadth_m == pytest.approx(17.25 * INCH)
    assert len(found) == 3


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("3.048,0.1,1-0-0", "half_breadth_m", "units are mixed"),
        ("3.048,0.1,12 in", "half_breadth_m", "units are mixed"),
        ("3.048,,0.3", "height_m", "must be filled in"),
        ("3.048,0.1,5 mm", "half_breadth_m", "units are mixed"),
        ("3.048,0.1,12'", "half_breadth_m", "units are mixed"),
        ("3.048,high,0.3", "height_m", "is no number"),
        ("3.048,abc,0.3", "height_m", "is no number"),
        ("3.048,nan,0.3", "height_m", "is no number"),
        ("3.048,inf,0.3", "height_m", "is no number"),
        ("3.048,1e999,0.3", "height_m", "is no number"),
        ("3.048,--,0.3", "height_m", "is no number"),
        ("3.048,5 planks,0.3", "height_m", "is no number"),
        ("3.048,0.1", "half_breadth_m", "must be filled in"),
    ],
)
def test_a_bad_cell_is_told_by_its_row_and_column(row: str, column: str, words: str) -> None:
    with pytest.raises(TableError) as caught:
        read_text(f"{WEDGE_M}{row}\n")

    (problem,) = caught.value.problems
    assert (problem.row, problem.column) == (6, column)
    assert words in problem.reason


@pytest.mark.parametrize("titles", ["station_m,height_m,half_breadth_m", "station_m,girth_m,half_breadth_m"])
def test_decimal_commas_among_commas_between_cells_are_refused_row_by_row(titles: str) -> None:
    with pytest.raises(TableError) as caught:
        read_text(f"{titles}\n1,0.9,0.4\n1,5,0,9,0,4\n2,0.9,0.4\n2,5,0,9,0,4\n")

    assert [(problem.row, problem.column) for problem in caught.value.problems] == [(3, ""), (5, "")]
    assert all("6 cells" in p.reason and "decimal commas" in p.reason for p in caught.value.problems)


def test_empty_cells_that_a_spreadsheet_adds_at_the_end_are_passed_over() -> None:
    assert read_text(WEDGE_M.replace("0,0,0\n", "0,0,0,,, \n", 1)) == WEDGE


def test_decimal_commas_may_have_all_the_digits_that_a_program_writes() -> None:
    points = [(x, height + 1 / 3, breadth + 1 / 7) for x, height, breadth in half_cylinder(0.4, 5)]
    lines = Offsets.of_points(points)

    assert read_text(kept(lines).replace(",", ";").replace(".", ",")) == lines


def test_a_thousand_s_comma_may_be_a_decimal_one_and_is_refused_but_in_metres() -> None:
    with pytest.raises(TableError) as caught:
        read_text("station_mm;height_mm;half_breadth_mm\n1,234;0;0\n")

    assert "two ways" in caught.value.problems[0].reason


def test_every_bad_row_is_told_at_once() -> None:
    with pytest.raises(TableError) as caught:
        read_text("station,girth,half-breadth\n4 ft,30 in,17 in\n8 ft,,\n9,,1 in\n12 ft,41 in,13 in\n")

    assert [problem.row for problem in caught.value.problems] == [2, 3, 4]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("hello there", "must name the columns"),
        ("station_m,height_m,half_breadth_m\n", "no rows"),
        ("station_m,height_m\n0,0\n", "must name the columns"),
        ("station_m,height_m,girth_m\n0,0,1\n", "must name the columns"),
        ("station_m,x,height_m,half_breadth_m\n0,0,0,0\n", "same thing"),
        ("station_m,height_m,half_breadth_m\n0,0,0\n", "two stations"),
        (WEDGE_M + "2,0.1,0.2\n2,0.1,0.3\n2,0,0\n", "crossed"),
        (WEDGE_M + "2,0,0\n2,0.2,0.3\n2,0.3,0.31\n2,0.2,0.25\n", "at the height 0.2 m it has the half-breadths 0.25 m"),
        (WEDGE_M + "3,0.1,0.2\n" * 20_000, "more than 20000 points"),
        (WEDGE_M.replace("3.048,0.3048,0.3048", "3.048,30.48,0.3048"), "Are all numbers in metres"),
    ],
)
def test_a_table_that_is_none_is_refused_in_a_sentence(text: str, words: str) -> None:
    with pytest.raises(SheetError, match=words):
        read_text(text)


def test_a_flat_bottom_may_have_points_side_by_side() -> None:
    assert read_text(WEDGE_M + "2,0,0\n2,0,0.2\n2,0,0.3\n2,0.3048,0.3\n") != WEDGE


def test_a_table_with_far_too_many_rows_is_not_read_to_its_end() -> None:
    file = io.BytesIO(WEDGE_M.encode() + b"3,0.1,0.2\n" * 440_000)

    with pytest.raises(SheetError, match="more than 20000 points"):
        read_table(file)
    assert file.tell() < 1_000_000


def test_a_long_table_is_read_whole() -> None:
    lines = Offsets.of_points(half_ellipsoid(2.5, 0.45, 0.3, 60, 40))

    assert read_text(kept(lines)) == lines

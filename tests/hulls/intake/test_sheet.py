import io
import tracemalloc
from collections.abc import Iterator
from datetime import date

import pytest

from hulls.intake import DateOrder, HullRow, SheetError, open_sheet
from hulls.models import Filler, InsideVarnish, Priority
from tests.hulls.intake.sheets import DATA, HEADER, TODAY, a_file, a_hull_with, read

SOUND = "Ann Teller,16 ft,34 in,12 in,24 in"


def test_a_us_sheet_is_read_whole() -> None:
    hulls, problems = read(io.BytesIO((DATA / "us.csv").read_bytes()))
    assert problems == []
    assert [hull.tag for hull in hulls] == ["H-201", "H-202", "H-203"]
    first = hulls[0]
    # 16 ft, 34 1/2 in, 12 in and 24 in at 25.4 mm to the inch (international agreement of 1959).
    assert (first.length_m, first.beam_m, first.depth_m, first.end_depth_m) == pytest.approx(
        (4.8768, 0.8763, 0.3048, 0.6096)
    )
    assert (first.owner, first.email, first.phone) == ("Nils Øvrebø", "nils@example.org", "+47 555 01 234")
    assert (first.name, first.filler, first.inside_varnish) == ("Otterwake", Filler.LATEX, InsideVarnish.BEFORE)
    assert (first.colour, first.colour_name, first.old_colour) == ("#2f5d46", "spruce green", "#6e7f70")
    assert (first.arrived_on, first.promised_on) == (date(2026, 3, 2), date(2026, 8, 14))
    assert first.priority is Priority.HIGH
    assert first.notes == "Two cracked ribs amidships.\nOwner wants the old seats kept."
    assert hulls[1].notes == "=SUM(A1:A9) stands here as plain text"
    assert hulls[2].notes == "<b>bold</b> is text too"
    assert (hulls[2].filler, hulls[2].arrived_on, hulls[2].priority) == (None, None, None)


@pytest.mark.parametrize(
    ("name", "encoding", "delimiter"),
    [
        ("semicolons-bom.csv", "utf-8-sig", ";"),
        ("semicolons-windows-1252.csv", "cp1252", ";"),
        ("tabs-utf-16.csv", "utf-16", "\t"),
    ],
)
def test_a_metric_sheet_reads_the_same_in_every_encoding(name: str, encoding: str, delimiter: str) -> None:
    file = io.BytesIO((DATA / name).read_bytes())
    sheet = open_sheet(file)
    assert (sheet.encoding, sheet.delimiter, sheet.unknown) == (encoding, delimiter, ())
    hulls, problems = read(file, DateOrder.DMY)
    assert problems == []
    assert [hull.owner for hull in hulls] == ["Ångström & Søn", "Zoë Thériault"]
    first = hulls[0]
    assert (first.length_m, first.beam_m, first.depth_m, first.end_depth_m) == pytest.approx((4.88, 0.876, 0.305, 0.61))
    assert (first.arrived_on, first.promised_on) == (date(2026, 3, 2), date(2026, 8, 14))
    assert first.notes == "Größe geprüft\n„sehr alt“ – 1920er"
    assert [(hull.row, hull.line) for hull in hulls] == [(2, 2), (3, 4)]


def test_every_problem_of_every_row_is_reported_and_the_good_rows_come_through() -> None:
    hulls, problems = read(io.BytesIO((DATA / "bad.csv").read_bytes()))
    assert [hull.tag for hull in hulls] == ["B-1", "B-9"]
    assert [(problem.row, problem.column) for problem in problems] == [
        (3, "Owner"),
        (3, "Email"),
        (3, "Length"),
        (3, "Arrived"),
        (3, "Promised"),
        (3, "Priority"),
        (4, "Length"),
        (4, "Promised"),
        (5, "Tag"),
        (5, "Length"),
        (6, "Beam"),
        (6, "End depth"),
        (6, "Notes"),
        (7, "Owner"),
        (7, "Length"),
        (7, "Arrived"),
        (8, ""),
        (9, ""),
    ]


def test_the_line_in_the_file_and_the_row_in_the_spreadsheet_are_both_told() -> None:
    _, problems = read(a_file(HEADER + ",notes", f'H-1,{SOUND},"one', 'two"', "", f"H-2,{SOUND.replace('16', '60')},"))
    assert [(problem.row, problem.line) for problem in problems] == [(4, 5)]


def test_unknown_columns_are_named_and_left_aside() -> None:
    file = a_file(f"Rack,{HEADER},,Mood", f"\x074,H-1,{SOUND},,fine")
    assert open_sheet(file).unknown == ("Rack", "Mood")
    hulls, problems = read(file)
    assert (len(hulls), problems) == (1, [])


def test_a_missing_column_is_one_clear_error() -> None:
    with pytest.raises(SheetError, match="no column for: owner, end depth"):
        open_sheet(a_file("tag,length,beam,depth", "H-1,16 ft,34 in,12 in"))


def test_a_header_that_cannot_be_read_is_one_clear_error() -> None:
    with pytest.raises(SheetError, match="The first line cannot be read"):
        open_sheet(a_file('tag,"owner', "H-1,x"))


def test_a_header_alone_holds_no_hulls() -> None:
    assert read(a_file(HEADER)) == ([], [])


def test_a_short_row_misses_what_is_required_and_nothing_else() -> None:
    _, problems = read(a_file(HEADER + ",notes", "H-1,Ann Teller,16 ft"))
    assert [(problem.column, problem.reason) for problem in problems] == [
        ("beam", "This must be filled in."),
        ("depth", "This must be filled in."),
        ("end depth", "This must be filled in."),
    ]


def test_empty_cells_past_the_last_column_do_no_harm() -> None:
    hulls, problems = read(a_file(HEADER, f"H-1,{SOUND},,,"))
    assert (len(hulls), problems) == (1, [])


@pytest.mark.parametrize("second", ["H-1", "h-1"])
def test_the_same_tag_twice_is_a_problem_of_the_later_row(second: str) -> None:
    hulls, problems = read(a_file(HEADER, f"H-1,{SOUND}", f"{second},{SOUND}"))
    assert [hull.row for hull in hulls] == [2]
    assert [(one.row, one.column, one.reason) for one in problems] == [
        (3, "tag", f"The tag {second} stands in row 2 already.")
    ]


def test_a_bare_number_takes_the_unit_above_its_column() -> None:
    hulls, problems = read(
        a_file("tag,owner,length (ft),beam (in),depth (in),end depth (cm)", "H-1,Ann,16,34 1/2,12,61")
    )
    assert problems == []
    assert (hulls[0].length_m, hulls[0].beam_m) == pytest.approx((4.8768, 0.8763))
    _, problems = read(a_file(HEADER, "H-1,Ann,16,34 in,12 in,24 in"))
    assert "“16” has no unit" in problems[0].reason


def test_a_line_that_names_the_delimiter_is_not_the_header() -> None:
    hulls, problems = read(a_file("sep=;", HEADER.replace(",", ";"), f"H-1;{SOUND.replace(',', ';')}"))
    assert (len(hulls), problems) == (1, [])


@pytest.mark.parametrize(
    ("column", "cell", "sound"),
    [
        ("arrived", "2026-07-01", True),
        ("arrived", "2026-07-02", False),
        ("promised", "2026-07-01", True),
        ("promised", "2026-06-30", False),
        ("arrived", "2006-07-06", True),  # TODAY less twenty times 365 days
        ("arrived", "2006-07-05", False),
        ("arrived", "1900-01-01", False),
        ("promised", "2036-06-28", True),  # TODAY and ten times 365 days
        ("promised", "2036-06-29", False),
        ("promised", "9999-12-31", False),
        ("promised", "1900-01-01", False),
    ],
)
def test_a_boat_arrived_by_today_and_is_promised_for_no_earlier_both_within_years(
    column: str, cell: str, sound: bool
) -> None:
    hulls, problems = read(a_hull_with(column, cell))
    assert (bool(hulls), [problem.column for problem in problems]) == (sound, [] if sound else [column])


def test_a_boat_may_be_promised_for_the_day_of_its_arrival_and_no_earlier() -> None:
    header, row = f"{HEADER},arrived,promised", f"{SOUND},2026-03-02"
    assert len(read(a_file(header, f"H-1,{row},2026-03-02"))[0]) == 1
    assert [problem.column for problem in read(a_file(header, f"H-1,{row},2026-03-01"))[1]] == ["promised"]


def test_the_rows_can_be_read_again_and_the_file_stays_open() -> None:
    file = a_file(HEADER, f"H-1,{SOUND}")
    sheet = open_sheet(file)
    assert list(sheet.rows(today=TODAY)) == list(sheet.rows(today=TODAY))
    assert not file.closed


def test_reading_tells_how_far_it_has_come() -> None:
    sheet = open_sheet(a_file(HEADER, *(f"H-{n},{SOUND}" for n in range(2_000))))
    seen = [sheet.bytes_read for _ in sheet.rows(today=TODAY)]
    assert seen == sorted(seen)
    assert 0 < seen[0] < sheet.size / 2
    assert seen[-1] == sheet.size


class GeneratedFile(io.RawIOBase):
    """A file of any number of rows that are made as they are read, so that only the reader's memory is measured."""

    def __init__(self, rows: int) -> None:
        self._rows = rows
        self.seek(0)

    def seekable(self) -> bool:
        return True

    def readable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        self._parts: Iterator[bytes] = iter(()) if whence == io.SEEK_END else self._content()
        self._rest = b""
        return 0

    def readinto(self, buffer: "memoryview[int]") -> int:  # type: ignore[override]
        while len(self._rest) < len(buffer) and (part := next(self._parts, b"")):
            self._rest += part
        taken, self._rest = self._rest[: len(buffer)], self._rest[len(buffer) :]
        buffer[: len(taken)] = taken
        return len(taken)

    def _content(self) -> Iterator[bytes]:
        yield f"{HEADER},notes\n".encode()
        for number in range(self._rows):
            # One tag for all: the tags that are remembered do not grow, and what else would grow is seen.
            yield f'H-1,{SOUND},"{number}\n{"words " * 100}"\n'.encode()


def peak_of_reading(rows: int) -> int:
    sheet = open_sheet(GeneratedFile(rows))  # type: ignore[arg-type]
    tracemalloc.start()
    count = sum(1 for _ in sheet.rows(today=TODAY))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert count == rows
    return peak


def test_memory_does_not_grow_with_the_number_of_rows() -> None:
    assert next(iter(open_sheet(a_file(HEADER, f"H-1,{SOUND}")).rows(today=TODAY)))  # pint is loaded and out of the way
    few, many = peak_of_reading(300), peak_of_reading(6_000)
    # The larger file has 3.6 MB more of text; a reader that kept its rows would hold at least that.
    assert many < few + 200_000


def test_ten_thousand_rows_are_read_and_every_bad_one_is_found() -> None:
    lines = (f"H-{n},{SOUND if n % 100 else SOUND.replace('16', '160')}" for n in range(10_000))
    hulls, problems = read(a_file(HEADER, *lines))
    assert (len(hulls), len(problems)) == (9_900, 100)
    assert {problem.row for problem in problems} == {n + 2 for n in range(0, 10_000, 100)}
    assert all(isinstance(hull, HullRow) for hull in hulls)


def test_a_rocker_is_read_where_one_is_given_and_judged_by_the_depth() -> None:
    header = "tag,owner,length,beam,depth,end depth,rocker (in)\n"
    hulls, problems = read(io.BytesIO(f"{header}R-1,{SOUND},1 1/2\nR-2,{SOUND},\nR-3,{SOUND},6\n".encode()))

    # 25.4 mm to the inch (international agreement of 1959).
    assert [hull.rocker_m for hull in hulls] == [pytest.approx(0.0381), None]
    assert [(problem.row, problem.column) for problem in problems] == [(4, "rocker (in)")]

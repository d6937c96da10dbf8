"""The side view that a table tells, checked on a hull whose sheer and keel are parabolas of known numbers."""

import pytest

from hulls.lines import LinesError, Offsets, Principal, StemShape, principal_of_offsets, profile
from tests.hulls.lines.tables import Row, half_ellipsoid

MEASURED = Principal(
    length_m=4.6, beam_m=0.8, depth_m=0.28, end_depth_m=0.5, rocker_m=0.0, stem=StemShape.PLUMB
)  # of another hull, so that nothing of it passes for the table's
LENGTH, BEAM, DEPTH, END, ROCKER = 5.0, 0.9, 0.32, 0.6, 0.04
PLACES = [n / 10 for n in range(-10, 11)]


def table(*, rise: float = 0.0, bow: float = END, stop: float = 1.0) -> list[Row]:
    """Sheer ``D + (E - D) u²``, keel ``R u²``, half-breadth ``B/2 (1 - u²)``; `u` from -1 to 1 along the length."""
    rows: list[Row] = []
    for u in PLACES:
        if abs(u) <= stop:
            end = bow if u > 0 else END
            half = BEAM / 2 * (1 - u * u)
            keel, sheer = rise + ROCKER * u * u, rise + DEPTH + (end - DEPTH) * u * u
            rows += [(LENGTH / 2 * u, keel, 0.0), (LENGTH / 2 * u, (keel + sheer) / 2, half * 0.8)]
            rows.append((LENGTH / 2 * u, sheer, half))
    return rows


def told(rows: list[Row]) -> Principal:
    return principal_of_offsets(Offsets.of_points(rows), MEASURED)


@pytest.mark.parametrize("rise", [0.0, 0.15, -0.32])
def test_length_beam_depths_and_rocker_are_the_table_s_wherever_its_base_line_lies(rise: float) -> None:
    found = told(table(rise=rise))

    assert (found.length_m, found.beam_m, found.depth_m) == pytest.approx((LENGTH, BEAM, DEPTH))
    assert (found.end_depth_m, found.rocker_m) == pytest.approx((END, ROCKER))
    assert found.stem is StemShape.PLUMB


def test_the_hull_drawn_from_it_has_the_table_s_sheer_and_keel() -> None:
    side = profile(told(table()))

    assert side.sheer_m(0.0) == pytest.approx(DEPTH)
    assert side.sheer.end[1] == pytest.approx(END)
    heel = side.keel.start
    assert heel[1] == pytest.approx(ROCKER)
    assert max(point[0] for curve in side.outline for point in (curve.start, curve.end)) == pytest.approx(LENGTH / 2)


def test_ends_of_two_heights_are_drawn_at_their_mean() -> None:
    assert told(table(bow=0.7)).end_depth_m == pytest.approx((END + 0.7) / 2)


def test_a_forefoot_is_no_rocker() -> None:
    # The keel line runs level to a station 0.2 m short of the end, and rises 0.3 m from there.
    rows = [(x, 0.0, 0.0) for x in (-2.3, 0.0, 2.3)] + [(x, 0.35, 0.4) for x in (-2.3, 0.0, 2.3)]
    rows += [(x, height, 0.0) for x in (-2.5, 2.5) for height in (0.3, 0.55)]

    found = told(rows)
    assert (found.rocker_m, found.end_depth_m) == pytest.approx((0.0, 0.55))


def test_the_tip_of_a_stem_that_falls_back_counts_though_the_table_ends_below_it() -> None:
    rows = table()
    ends = [row for row in rows if abs(row[0]) < LENGTH / 2] + [(-2.5, 0.3, 0.0), (2.5, 0.3, 0.0)]

    assert told(ends).end_depth_m == pytest.approx(DEPTH + (END - DEPTH) * 0.9**2)
    assert told(ends).length_m == LENGTH


def test_where_the_table_stops_short_of_the_stems_length_and_ends_are_the_tape_s() -> None:
    found = told(table(stop=0.85))

    assert MEASURED.length_m > 0.8 * LENGTH
    assert (found.length_m, found.end_depth_m) == (MEASURED.length_m, pytest.approx(max(0.5, 0.32 + 0.28 * 0.64)))
    assert (found.beam_m, found.depth_m) == pytest.approx((BEAM, DEPTH))


def test_a_table_of_what_is_no_canoe_has_no_side_view() -> None:
    with pytest.raises(LinesError, match="depth amidships must be less than the beam"):
        principal_of_offsets(Offsets.of_points(half_ellipsoid(2.45, 0.3, 0.7, 12, 8)), MEASURED)

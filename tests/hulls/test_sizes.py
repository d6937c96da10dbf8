"""A hull's sizes come from the most exact of what is on its row, and cost no query."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from hulls.lines import (
    HULL_TYPES,
    Offsets,
    Principal,
    StemShape,
    Taped,
    measure,
    measure_offsets,
    measure_taped,
    principal_of_offsets,
)
from hulls.models import Hull, HullKind
from hulls.offsets.kept import kept, read_kept
from hulls.sizes import drawn_from, outside_area_m2, principal_of, sizes_of
from tests.factories import a_hull, a_shop
from tests.hulls.lines.tables import half_ellipsoid

MEASURES = {"length_m": 4.9, "beam_m": 0.88, "depth_m": 0.31, "end_depth_m": 0.58}
CANOE = Principal(length_m=4.9, beam_m=0.88, depth_m=0.31, end_depth_m=0.58)
TABLE = Offsets.of_points(half_ellipsoid(2.45, 0.44, 0.31, 12, 8))
STATIONS = (Taped(x_m=1.2, girth_m=1.05), Taped(x_m=2.45, girth_m=1.31, half_breadth_m=0.44))


def test_every_type_has_its_words() -> None:
    assert set(HullKind.values) == set(HULL_TYPES)


def test_four_measures_and_the_type_are_taken_where_there_is_nothing_better() -> None:
    hull = Hull(**MEASURES, hull_type="flat")

    assert sizes_of(hull) == measure(CANOE, HULL_TYPES["flat"])
    assert outside_area_m2(hull) == sizes_of(hull).outside_area_m2


def test_a_hull_is_drawn_with_the_rocker_and_stems_of_its_type_unless_measured() -> None:
    drawn, measured = principal_of(Hull(**MEASURES, hull_type="river")), principal_of(Hull(**MEASURES, rocker_m=0.05))

    assert (drawn.rocker_m, drawn.stem) == (pytest.approx(0.015 * 4.9), StemShape.RAKED)
    assert measured.rocker_m == 0.05


def test_taped_stations_go_before_the_measures_and_offsets_before_both() -> None:
    taped = Hull(**MEASURES, lines_table=kept(STATIONS))
    table = Hull(**MEASURES, lines_table=kept(TABLE))

    assert sizes_of(taped) == measure_taped(CANOE, STATIONS)
    assert sizes_of(table) == measure_offsets(TABLE)


def test_a_hull_is_drawn_from_its_table_of_offsets_and_else_from_its_measures() -> None:
    longer = Offsets.of_points(half_ellipsoid(2.6, 0.46, 0.33, 12, 8))
    plain, table = Hull(**MEASURES), Hull(**MEASURES, lines_table=kept(longer))

    assert drawn_from(table) == principal_of_offsets(longer, principal_of(plain))
    assert (drawn_from(table).length_m, drawn_from(table).depth_m) == pytest.approx((5.2, 0.33))
    assert drawn_from(Hull(**MEASURES, lines_table=kept(STATIONS))) == drawn_from(plain) == principal_of(plain)


def test_a_table_that_is_no_canoe_s_leaves_the_drawing_to_the_measures() -> None:
    deep = Offsets.of_points(half_ellipsoid(2.45, 0.3, 0.7, 12, 8))
    hull = Hull(**MEASURES, lines_table=kept(deep))

    assert drawn_from(hull) == principal_of(hull)
    assert sizes_of(hull) == measure_offsets(deep)


def test_stations_that_no_longer_fit_are_left_aside() -> None:
    # The girth of a much larger boat, as after a measure was put right.
    hull = Hull(**MEASURES, lines_table=kept((Taped(x_m=6.0, girth_m=1.3),)))

    assert sizes_of(hull) == measure(CANOE)


@pytest.mark.parametrize("lines", [STATIONS, TABLE, (Taped(x_m=1 / 3, half_breadth_m=0.1),)])
def test_what_is_kept_is_read_back_to_the_last_digit(lines: Offsets | tuple[Taped, ...]) -> None:
    assert read_kept(kept(lines)) == lines


def test_nothing_kept_is_no_stations() -> None:
    assert read_kept("") == ()


@pytest.mark.django_db
def test_sizes_and_drawings_of_many_hulls_cost_no_query() -> None:
    a_shop()
    for n, table in enumerate((kept(STATIONS), kept(STATIONS), kept(TABLE))):
        a_hull(f"H-{n}", lines_table=table)
    hulls = list(Hull.objects.all())

    with CaptureQueriesContext(connection) as queries:
        assert len({outside_area_m2(hull) for hull in hulls}) == 2
        assert len({drawn_from(hull) for hull in hulls}) == 2

    assert not queries

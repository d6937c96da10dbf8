"""Tables checked on solids of known area and volume, and by properties that any table's numbers must have."""

import math
import random
from dataclasses import fields

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from hulls.lines import LinesError, Offsets, Sizes, measure_offsets
from tests.hulls.lines.tables import Row, half_cylinder, half_ellipsoid, parabolic_hull, two_half_cones

PER_MILLE = 1e-3


def sizes(rows: object) -> Sizes:
    return measure_offsets(Offsets.of_points(rows))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rows", "area_m2", "volume_m3"),
    [
        # Lateral area pi r L, half of pi r^2 L.
        (half_cylinder(0.4, 5), math.pi * 0.4 * 5, math.pi * 0.4**2 * 5 / 2),
        # Half of pi r s each, half of pi r^2 h / 3 each.
        (two_half_cones(0.45, 2.5), math.pi * 0.45 * math.hypot(0.45, 2.5), math.pi * 0.45**2 * 2.5 / 3),
        # Half of the exact area of an ellipsoid by elliptic integrals (NIST DLMF 19.33.2), semi-axes as given.
        (half_ellipsoid(2, 1, 1), 21.478435 / 2, 2 / 3 * math.pi * 2),
        (half_ellipsoid(3, 2, 1), 48.882146 / 2, 2 / 3 * math.pi * 6),
        (half_ellipsoid(2.5, 0.45, 0.30), 9.431650 / 2, 2 / 3 * math.pi * 2.5 * 0.45 * 0.30),
        # Surface of revolution of r (1 - (2x/L)^2), half of it: by quadrature; volume pi r^2 L 8/15 / 2.
        (parabolic_hull(0.45, 5), 4.772643, math.pi * 0.45**2 * 5 * 8 / 15 / 2),
    ],
    ids=["half cylinder", "half cones", "ellipsoid 2 1 1", "ellipsoid 3 2 1", "canoe-like ellipsoid", "parabolic hull"],
)
def test_area_and_volume_are_those_of_the_solid(rows: object, area_m2: float, volume_m3: float) -> None:
    found = sizes(rows)

    assert found.outside_area_m2 == pytest.approx(area_m2, rel=PER_MILLE)
    assert found.volume_m3 == pytest.approx(volume_m3, rel=2 * PER_MILLE)


def canoe_table(stations: int = 9, points: int = 6) -> list[Row]:
    """A table such as one takes from a boat: stem lines at the ends, fuller towards the middle."""
    rows = []
    for m in range(stations):
        u = 2 * m / (stations - 1) - 1
        keel, sheer = 0.05 * u**2, 0.31 + 0.28 * u**4
        for n in range(points):
            share = n / (points - 1)
            rows.append((2.44 * (1 + u), keel + (sheer - keel) * share, 0.44 * (1 - u * u) * share**0.4))
    return rows


tables = st.sampled_from([half_cylinder(0.4, 5, 6), two_half_cones(0.45, 2.5, 6), canoe_table(), canoe_table(8, 5)])


def numbers(found: Sizes) -> list[float]:
    return [getattr(found, f.name) for f in fields(Sizes) if f.name != "girths"]


@given(tables, st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(rows: list[Row], chance: random.Random) -> None:
    shuffled = chance.sample(rows, len(rows))

    assert numbers(sizes(shuffled)) == pytest.approx(numbers(sizes(rows)), rel=1e-12)


@given(tables)
def test_a_table_of_the_other_side_or_turned_end_for_end_or_of_both_sides_is_the_same_hull(rows: list[Row]) -> None:
    as_it_is = numbers(sizes(rows))

    assert numbers(sizes([(x, z, -y) for x, z, y in rows])) == pytest.approx(as_it_is)
    assert numbers(sizes([(-x, z, y) for x, z, y in rows])) == pytest.approx(as_it_is)
    assert numbers(sizes([(7 - x, z, y) for x, z, y in rows])) == pytest.approx(as_it_is)
    assert numbers(sizes(rows + [(x, z, -y) for x, z, y in rows if y])) == pytest.approx(as_it_is)
    assert numbers(sizes([(x, z + 3.5, y) for x, z, y in rows])) == pytest.approx(as_it_is)


@given(tables, st.floats(1.01, 1.5))
def test_area_grows_with_each_dimension_and_with_the_square_of_all(rows: list[Row], times: float) -> None:
    before = sizes(rows)

    for longer, deeper, wider in ((times, 1, 1), (1, times, 1), (1, 1, times)):
        assert sizes([(x * longer, z * deeper, y * wider) for x, z, y in rows]).outside_area_m2 > before.outside_area_m2
    larger = sizes([(x * times, z * times, y * times) for x, z, y in rows])
    assert larger.outside_area_m2 == pytest.approx(before.outside_area_m2 * times**2)
    assert larger.volume_m3 == pytest.approx(before.volume_m3 * times**3)
    assert larger.side_area_m2 == pytest.approx(before.side_area_m2 * times**2)


@pytest.mark.parametrize(
    ("rows", "faces_sideways"),
    [(list(half_ellipsoid(2.5, 0.45, 0.30)), 0), (half_cylinder(0.4, 5), 2), (two_half_cones(0.45, 2.5), 0)],
    ids=["ellipsoid", "half cylinder", "half cones"],
)
def test_a_convex_hull_has_the_area_and_volume_of_a_mesh_library(rows: list[Row], faces_sideways: int) -> None:
    # trimesh lays the convex hull round the same points, by triangles of its own; the lid across the sheer and faces
    # cut square are taken off by the way that they look.
    mesh = trimesh.Trimesh([(x, side * y, z) for x, z, y in rows for side in (1, -1)]).convex_hull
    level, square = (np.abs(mesh.face_normals[:, axis]) > 1 - 1e-9 for axis in (2, 0))
    skin = float(np.sum(mesh.area_faces[~(level & (mesh.triangles_center[:, 2] > -1e-9)) & ~square]))

    found = sizes(rows)

    assert found.outside_area_m2 == pytest.approx(skin, rel=2e-3)
    assert found.volume_m3 == pytest.approx(mesh.volume, rel=2e-3)
    assert bool(np.any(square)) == bool(faces_sideways)


def test_a_box_has_its_bottom_and_sides_but_neither_lid_nor_ends() -> None:
    rows = [(x, z, y) for x in (0.0, 4.0) for z, y in ((0.0, 0.4), (0.3, 0.4))]

    found = sizes(rows)

    assert found.outside_area_m2 == pytest.approx(4 * (0.8 + 2 * 0.3))
    assert found.volume_m3 == pytest.approx(4 * 0.8 * 0.3)
    assert found.side_area_m2 == pytest.approx(4 * 0.3)
    assert found.greatest_girth_m == pytest.approx(1.4)
    assert (found.sheer_length_m, found.keel_length_m, found.stem_length_m) == pytest.approx((4, 4, 0))
    assert found.inside_area_m2 == pytest.approx(4 * (1.4 - math.pi * 9 / 16 * 0.0254))


def test_a_flat_bottom_may_be_told_by_its_edge_or_from_the_centreline() -> None:
    edge = [(x, z, y) for x in (0.0, 4.0) for z, y in ((0.0, 0.3), (0.3, 0.4))]
    from_centre = edge + [(x, 0.0, y) for x in (0.0, 4.0) for y in (0.0, 0.1, 0.2)]

    assert sizes(from_centre).outside_area_m2 == pytest.approx(sizes(edge).outside_area_m2)
    assert sizes(from_centre).volume_m3 == pytest.approx(sizes(edge).volume_m3)


def test_a_wedge_from_a_stem_line_to_a_square_end_has_the_area_of_its_plane_sides() -> None:
    rows = [(0.0, 0.0, 0.0), (0.0, 0.5, 0.0), (3.0, 0.0, 0.4), (3.0, 0.5, 0.4)]

    found = sizes(rows)

    assert found.outside_area_m2 == pytest.approx(2 * 0.5 * math.hypot(3, 0.4) + 3 * 0.4)
    assert found.volume_m3 == pytest.approx(3 * 0.8 / 2 * 0.5)
    assert found.stem_length_m == pytest.approx(0.5 / 2)  # one stem of two ends
    assert found.keel_length_m == pytest.approx(3)


def test_stations_with_unlike_numbers_of_points_lose_none_of_them() -> None:
    coarse, fine = canoe_table(9, 6), canoe_table(9, 31)
    mixed = [row for row in coarse if row[0] < 2.4] + [row for row in fine if row[0] >= 2.4]

    assert sizes(mixed).outside_area_m2 == pytest.approx(
        (sizes(coarse).outside_area_m2 + sizes(fine).outside_area_m2) / 2, rel=1e-3
    )


def test_the_spread_covers_what_a_coarse_table_loses() -> None:
    for stations, points in ((5, 4), (9, 6), (13, 8), (25, 16)):
        table = half_ellipsoid(2.5, 0.45, 0.30, stations, points)
        found = sizes(table)
        off_pct = 100 * abs(found.outside_area_m2 / (9.431650 / 2) - 1)
        assert off_pct < 1.5 * found.spread_pct


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "two stations at least"),
        ([(0, 0, 0), (0, 0.3, 0.4)], "two stations at least"),
        ([(0, 0, 0), (2, 0, 0.1), (4, 0, 0)], "one point only"),
        ([(0, 0, 0), (2, 0, 0), (2, 0.1, 0.2), (2, 0.1, 0.3), (4, 0, 0)], "crossed"),
        ([(0, 0, 0), (2, 0, 0), (2, 0.1, 0.3), (2, 0.2, -0.35), (4, 0, 0)], "crosses the centreline"),
        ([(0, 0, 0), (488, 0, 0), (488, 31, 44)], "Are all numbers in metres"),
        ([(0, 0, 0), (4.88, 0, 0), (4.88, 12.5, 0.44)], "The heights span 12.5 m"),
        ([(0, 0, 0), (4.88, 0, 0), (4.88, 0.3, 17.25)], "greatest half-breadth is 17.25 m"),
        ([(0, 0, 0), (4.88, 0, 0), (4.88, 0.3, 430)], "greatest half-breadth is 430 m"),
        ([(0, 0, 0), (4.88, 0, 0), (4.88, 310, 0.4)], "The heights span 310 m"),
        ([(0, 0, 0), (192, 0, 0), (192, 0.3, 0.4)], "The stations span 192 m"),
        ([(0, 0, 0), (4.88, 0, 0), (4.88, 0.3, 0)], "Every half-breadth is zero"),
        ([(0, 0, 0), (4.88, 0, 0), (4.88, math.nan, 0.3)], "no numbers"),
    ],
)
def test_a_table_that_is_no_hull_is_refused(rows: list[Row], words: str) -> None:
    with pytest.raises(LinesError, match=words) as caught:
        Offsets.of_points(rows)

    assert caught.value.field == "offsets"


@pytest.mark.parametrize(
    ("length", "depth", "half", "words"),
    [
        (40.0, 0.5, 0.4, ["40 m long. A canoe is between"]),
        (4.88, 6.0, 0.4, ["6 m deep. The ends of a canoe stand between"]),
        (4.88, 0.5, 8.0, ["16 m wide. A canoe is between"]),
        (16.0, 1.9, 1.45, ["16 m long", "2.9 m wide", "1.9 m deep"]),  # a canoe's feet, taken for metres
        (1.5, 0.5, 0.4, ["1.5 m long"]),
        (4.88, 0.5, 0.4, []),
    ],
)
def test_a_table_that_may_be_in_another_unit_is_reckoned_with_a_caution(
    length: float, depth: float, half: float, words: list[str]
) -> None:
    table = Offsets.of_points([(0, 0, 0), (0, depth, 0), (length, 0, 0), (length, depth, half)])

    assert measure_offsets(table).beam_m == 2 * half
    assert len(table.cautions) == len(words)
    assert all(said in caution for said, caution in zip(words, table.cautions, strict=True))

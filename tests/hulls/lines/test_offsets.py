"""Tables checked on solids of known area and volume, and by properties that any table's numbers must have."""

import math

import pytest

from hulls.lines import Offsets, Sizes, measure_offsets
from tests.hulls.lines.tables import half_cylinder, half_ellipsoid, parabolic_hull, two_half_cones

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

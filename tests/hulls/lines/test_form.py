"""The net of points between the measures, against the side view's own curves and against a mesh made apart from it."""

import math
from collections.abc import Callable

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from hulls.lines import HULL_TYPES, HullType, Principal, Profile, filled_in, measure, profile
from hulls.lines.bezier import Cubic
from hulls.lines.form import FINE, Measures, surface
from hulls.lines.measured import form_of
from hulls.lines.skin import Net
from tests.hulls.lines.strategies import canoes

CANOE = Principal(length_m=4.88, beam_m=0.88, depth_m=0.31, end_depth_m=0.6)
types = st.sampled_from(list(HULL_TYPES.values()))


def net_of(hull: Principal, kind: HullType) -> tuple[Net, Profile]:
    known = filled_in(hull, kind)
    return surface(Measures.of(known), form_of(known, kind), FINE), profile(known)


def off(curves: tuple[Cubic, ...], x: float, z: float) -> float:
    """How far a point lies from curves that are cut into many chords."""
    points = np.array([curve.at(t) for curve in curves for t in np.linspace(0, 1, 400)])
    return float(np.min(np.hypot(points[:, 0] - x, points[:, 1] - z)))


@given(canoes(), types)
def test_the_rim_of_the_net_is_the_side_view(hull: Principal, kind: HullType) -> None:
    net, side = net_of(hull, kind)
    near = hull.length_m / 400

    for x, z in zip(net.x[0, :, -1], net.z[0, :, -1], strict=True):
        assert z == pytest.approx(side.sheer_m(x), abs=1e-6)
    for x, z in zip(net.x[0, :, 0], net.z[0, :, 0], strict=True):
        assert z == pytest.approx(side.keel_m(x), abs=1e-6)
    for x, z in zip(net.x[0, -1], net.z[0, -1], strict=True):
        assert off(side.stem, x, z) < near


@given(canoes(), types)
def test_the_net_is_as_wide_as_the_beam_and_closes_at_keel_and_stem(hull: Principal, kind: HullType) -> None:
    net, _ = net_of(hull, kind)

    assert np.max(net.y) == pytest.approx(hull.beam_m / 2)
    assert not np.any(net.y[0, :, 0])
    assert not np.any(net.y[0, -1])
    assert np.all(net.y >= 0)


Surface = Callable[[float, float], tuple[float, float, float]]


def by_hand(kind: HullType, known: Principal) -> Surface:
    """A point of the hull's surface by the form's definition, one at a time: no arrays, no net.

    `u` runs from amidships to the end, `v` as an angle from the keel to the widest place (1) and on to the sheer (2).
    """
    form, side = kind.form, profile(known)
    power = form.fullness / (1 - form.fullness)

    def stem_at(height: float) -> float:
        piece = next((c for c in side.stem if c.end[1] <= height <= c.start[1]), side.stem[-1])
        return piece.at(piece.t_where(1, height))[0]

    def section(u: float, v: float) -> tuple[float, float]:
        n = form.bottom + (1.25 - form.bottom) * u * u
        widest = 1 - 0.38 * (1 - u * u) if form.tumblehome else 1.0
        if v >= 1:
            return 1 - form.tumblehome * (1 - u * u) * (v - 1) ** 2, widest + (1 - widest) * (v - 1)
        sine, cosine = math.sin(math.pi / 2 * v), math.cos(math.pi / 2 * v)
        reach = (sine**n + cosine**n) ** (-1 / n)
        return sine * reach, widest * (1 - cosine * reach)

    def point(u: float, v: float) -> tuple[float, float, float]:
        breadth, height = section(u, v)
        x = u * stem_at(known.keel_rise_m + section(1.0, v)[1] * (known.end_depth_m - known.keel_rise_m))
        keel, sheer = known.keel_rise_m * u * u, side.sheer_m(u * side.sheer.end[0])
        return x, known.beam_m / 2 * (1 - u**power) * breadth, keel + height * (sheer - keel)

    return point


def meshed(at: Surface, *, stations: int, points: int, lid: bool) -> trimesh.Trimesh:
    """The whole hull as triangles, from sheer round to sheer, with or without a lid across the sheer."""
    along = np.linspace(-1, 1, 2 * stations + 1)
    round_ = np.linspace(-2, 2, 2 * points + 1)
    corners = []
    for u in along:
        for v in round_:
            x, y, z = at(abs(u), abs(v))
            corners.append((math.copysign(x, u), math.copysign(y, v), z))
    wide = len(round_)
    faces = []
    for m in range(len(along) - 1):
        for n in range(wide - 1):
            a, b = m * wide + n, (m + 1) * wide + n
            faces += [(a, b, b + 1), (a, b + 1, a + 1)]
        if lid:
            a, b = m * wide, (m + 1) * wide
            faces += [(a, a + wide - 1, b + wide - 1), (a, b + wide - 1, b)]
    mesh = trimesh.Trimesh(corners, faces)
    mesh.merge_vertices()
    mesh.update_faces(mesh.nondegenerate_faces())
    return mesh


@pytest.mark.parametrize("kind", HULL_TYPES.values(), ids=HULL_TYPES)
def test_area_and_volume_are_those_of_a_mesh_made_apart(kind: HullType) -> None:
    found, at = measure(CANOE, kind), by_hand(kind, filled_in(CANOE, kind))

    skin = meshed(at, stations=30, points=40, lid=False)
    solid = meshed(at, stations=30, points=40, lid=True)

    assert solid.is_watertight
    assert found.outside_area_m2 == pytest.approx(skin.area, rel=2e-3)
    assert found.volume_m3 == pytest.approx(abs(solid.volume), rel=6e-3)

"""The body plan: sections of a hull drawn one within the other, the after half to the left, the forward half right."""

from collections.abc import Sequence
from dataclasses import dataclass

from hulls.lines.cuts import Curve, cut
from hulls.lines.form import Grid
from hulls.lines.measured import form_of
from hulls.lines.offsets import Offsets
from hulls.lines.principal import Principal
from hulls.lines.svg import polyline_data
from hulls.lines.taped import Taped, fitted, halves
from hulls.lines.types import DEFAULT, HullType, filled_in

SHARES = (0.0, 0.2, 0.4, 0.6, 0.8, 0.92)  # of the half length, where a hull that no table tells is cut
UNITS_PER_M = 240  # of the drawing
ROOM = 6  # round it
DRAWN = Grid(stations=32, round_points=24, side_points=8)


@dataclass(frozen=True, slots=True)
class Cut:
    """One section: where it stands, in metres from amidships, forward positive, and its points on one side."""

    x_m: float
    curve: Curve


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyPlan:
    """What the template needs, every number already written out, and the numbers for its words.

    Parameters
    ----------
    view_box : str
        Of the drawing; the centreline stands at x zero.
    sections : tuple of str
        Path data of the sections but the fullest, after ones to the left.
    fullest : str
        Path data of the fullest section, both sides.
    middle : str
        Path data of the centreline.
    beam_m, depth_m, height_m : float
        Of the fullest section its breadth and depth; the height of the highest point over the lowest.
    """

    view_box: str
    sections: tuple[str, ...]
    fullest: str
    middle: str
    beam_m: float
    depth_m: float
    height_m: float


def sections(principal: Principal, taped: Sequence[Taped] = (), hull_type: HullType = DEFAULT) -> tuple[Cut, ...]:
    """Cut a hull that is known by its measures and what was taped of it, from aft forward."""
    known = filled_in(principal, hull_type)
    form = form_of(known, hull_type)
    forward, after = (fitted(known, form, half, DRAWN) for half in halves(taped, known.length_m))
    half_m = known.length_m / 2
    ahead = [Cut(share * half_m, cut(forward.net, forward.side, share * half_m)) for share in SHARES]
    behind = [Cut(-share * half_m, cut(after.net, after.side, share * half_m)) for share in SHARES[1:]]
    return tuple(found for found in (*reversed(behind), *ahead) if found.curve)


def sections_of_offsets(offsets: Offsets) -> tuple[Cut, ...]:
    """The sections that a table holds, from its first station on, which is taken to be the after one."""
    middle = offsets.stations[0].x_m + offsets.length_m / 2
    found = []
    for station in offsets.stations:
        points = tuple((breadth, height) for height, breadth in station.points)
        flat = ((0.0, station.keel_m),) if points[0][0] else ()
        found.append(Cut(station.x_m - middle, (*flat, *points)))
    return tuple(found)


def body_plan(cuts: Sequence[Cut]) -> BodyPlan:
    """Draw sections one within the other."""
    full = max(cuts, key=lambda one: (max(y for y, _ in one.curve), -abs(one.x_m)))
    low = min(z for one in cuts for _, z in one.curve)
    high = max(z for one in cuts for _, z in one.curve)
    half_m = max(y for y, _ in full.curve)
    across, up = round(half_m * UNITS_PER_M) + ROOM, round((high - low) * UNITS_PER_M)
    both = (*((-y, z) for y, z in reversed(full.curve)), *full.curve)
    heights = [z for _, z in full.curve]
    return BodyPlan(
        view_box=f"{-across} {-up - ROOM} {2 * across} {up + 2 * ROOM}",
        sections=tuple(_drawn(one, low) for one in cuts if one is not full and len(one.curve) > 1),
        fullest=polyline_data([(y, z - low) for y, z in both], UNITS_PER_M),
        middle=f"M0 0V{-up}",
        beam_m=2 * half_m,
        depth_m=max(heights) - min(heights),
        height_m=high - low,
    )


def _drawn(one: Cut, low: float) -> str:
    side = 1 if one.x_m >= 0 else -1
    return polyline_data([(side * y, z - low) for y, z in one.curve], UNITS_PER_M)

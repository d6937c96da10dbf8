"""The whole surface between the measured numbers, as nets of points: the side view's own lines, filled out to the beam.

A line of the net runs from amidships to the stem like a plank, at a constant share of the way from keel to sheer. Its
half-breadth falls off as ``1 - u ** p`` with the share `u` of its length, where ``p`` follows from the fullness; so
each line ends on the stem, and a recurved stem needs no case of its own. Forward and after halves are alike.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hulls.lines.bezier import Cubic
from hulls.lines.principal import Principal, StemShape
from hulls.lines.profile import FALL, LEVEL, STEEPER, STEMS, SWEEP_ARRIVE, SWEEP_LEAVE, SWEEP_LIFT
from hulls.lines.section import Section, section
from hulls.lines.skin import Array, Net
from hulls.lines.types import Form

END_BOTTOM = 1.25  # the superellipse's exponent at the ends, where every canoe is sharp: by eye
HALVINGS = 20  # of the stem's parameter: a millionth of a curve


@dataclass(frozen=True, slots=True)
class Grid:
    """How finely a surface is cut: stations from amidships to the end, points below and above the widest place."""

    stations: int
    round_points: int
    side_points: int

    @property
    def shares(self) -> Array:
        """Where the stations stand, 0 amidships to 1 at the end."""
        return np.linspace(0, 1, self.stations + 1)


# Against a net of ten times as many stations and points: area within 0.05 %, volume within 0.5 %.
FINE = Grid(stations=16, round_points=12, side_points=3)
COARSE = Grid(stations=6, round_points=5, side_points=2)  # for differences between forms


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """The dimensions of many hulls, arrays of one shape in metres, with the meaning that they have in `Principal`."""

    length: Array
    beam: Array
    depth: Array
    end_depth: Array
    rise: Array

    @classmethod
    def of(cls, known: Principal) -> "Measures":
        """Return one hull's."""
        return cls(
            length=np.array([known.length_m]),
            beam=np.array([known.beam_m]),
            depth=np.array([known.depth_m]),
            end_depth=np.array([known.end_depth_m]),
            rise=np.array([known.keel_rise_m]),
        )


def surface(measures: Measures, form: Form, grid: Grid) -> Net:
    """Return the forward quarter of each hull, one side of it.

    Parameters
    ----------
    measures : Measures
        Arrays of shape (hulls,).
    form : Form
        The same for all of them.
    grid : Grid
        How finely.

    Returns
    -------
    Net
        Shape (hulls, stations + 1, points): from amidships to the stem, from the keel to the sheer.
    """
    shares = grid.shares
    bottom = form.bottom + (END_BOTTOM - form.bottom) * shares**2
    cut = section(
        bottom,
        np.full_like(shares, form.tumblehome),
        shares,
        round_points=grid.round_points,
        side_points=grid.side_points,
    )
    return filled_out(measures, form.stem, grid, cut, narrowing(form.fullness, shares))


def narrowing(fullness: float, shares: Array) -> Array:
    """Return the share of the half-breadth amidships at each share of the way to the end.

    ``1 - u ** p`` fills ``p / (p + 1)`` of its rectangle, which is what fullness means.
    """
    return 1 - shares ** (fullness / (1 - fullness))


def filled_out(measures: Measures, stem: StemShape, grid: Grid, cut: Section, breadth: Array) -> Net:
    """Lay sections along the lines of the side view.

    Parameters
    ----------
    measures : Measures
        Arrays of shape (hulls,).
    stem : StemShape
        How the stems stand.
    grid : Grid
        Where the stations stand.
    cut : Section
        Shape (stations, points), or with the hulls before.
    breadth : array
        Of each section as a share of half the beam, shape (stations,).

    Returns
    -------
    Net
        Shape (hulls, stations, points).
    """
    shares = grid.shares
    rise, end = measures.rise[:, None], measures.end_depth[:, None]
    ends_at, tip = stem_at(measures, stem, rise + cut.height[..., -1, :] * (end - rise))
    ends_at[:, -1] = tip
    keel = rise * shares**2
    sheer = measures.depth[:, None] + (end - measures.depth[:, None]) * sweep(grid)
    x = ends_at[:, None, :] * shares[:, None]
    z = keel[..., None] + (sheer - keel)[..., None] * cut.height
    y = measures.beam[:, None, None] / 2 * breadth[:, None] * cut.breadth
    return Net(x, np.broadcast_to(y, x.shape), np.broadcast_to(z, x.shape))


def stem_at(measures: Measures, stem: StemShape, heights: Array) -> tuple[Array, Array]:
    """Return how far forward the stem stands at given heights, and where its tip is, in metres from amidships.

    The curves are those of `hulls.lines.profile`, for arrays.
    """
    form, half = STEMS[stem], measures.length[:, None] / 2
    height, rise = measures.end_depth[:, None], measures.rise[:, None]
    foremost, run, tip = form.foremost_at * height, form.forefoot * height, half - form.falls_back * height
    heel, drop, lift = half - run, foremost - rise, height - foremost
    sheer_slope = (1 - SWEEP_LIFT) * (height - measures.depth[:, None]) / ((1 - SWEEP_ARRIVE) * half)
    rake = np.minimum(form.rake * run, STEEPER * FALL * drop / np.maximum(sheer_slope, LEVEL))
    low = heights <= foremost
    up = (
        np.where(low, rise, foremost),
        np.where(low, rise + run * rise / heel, foremost + 0.42 * lift),
        np.where(low, foremost - FALL * drop, height - 0.3 * lift),
        np.where(low, foremost, height),
    )
    along = (
        np.where(low, heel, half),
        np.where(low, heel + 0.5 * run, half),
        np.where(low, half - rake, tip + 0.55 * (half - tip)),
        np.where(low, half, tip),
    )
    return _valued(_powers(along), _parameter(_powers(up), heights)), tip[:, 0]


Cubics = tuple[Array, Array, Array, Array]


def _powers(controls: Cubics) -> Cubics:
    """Turn control points into the coefficients of a polynomial."""
    a, b, c, d = controls
    return a, 3 * (b - a), 3 * (c - 2 * b + a), d - 3 * (c - b) - a


def _valued(powers: Cubics, t: Array) -> Array:
    a, b, c, d = powers
    return np.asarray(((d * t + c) * t + b) * t + a)


def _parameter(rising: Cubics, values: Array) -> Array:
    """Return where rising cubics take their values, by halving."""
    t, step = np.full_like(values, 0.5), 0.25
    for _ in range(HALVINGS):
        t = t + np.where(_valued(rising, t) < values, step, -step)
        step /= 2
    return t


@lru_cache(maxsize=8)
def sweep(grid: Grid) -> Array:
    """Return how much of its rise the sheer has made at each station of a grid."""
    across = Cubic((0, 0), (SWEEP_LEAVE, 0), (SWEEP_ARRIVE, SWEEP_LIFT), (1, 1))
    return np.array([across.at(across.t_where(0, float(share)))[1] for share in grid.shares])

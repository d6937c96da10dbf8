"""The side view of a canoe, its sheer, stems and keel line, in a few cubic Bézier curves.

The shape between the measured numbers is a convention of our own for drawing, no published lines: the sheer is level
amidships and sweeps up at the ends, the keel line is a parabola, the stem is a forefoot with a fair turn below the
forward-most point and, where it is recurved, falls back above it.
"""

from dataclasses import dataclass
from functools import lru_cache

from hulls.lines.bezier import Cubic, Point
from hulls.lines.principal import Principal, StemShape

SWEEP_LEAVE, SWEEP_ARRIVE, SWEEP_LIFT = 0.58, 0.86, 0.08  # shares of half length, half length, rise
FALL = 0.58  # of a stem's height, where its curve begins to turn
STEEPER, LEVEL = 0.6, 1e-6  # of the stem's slope, the most that the sheer may have; a slope that counts as none
RIB_SPACING_M = 0.1  # centre to centre, about 4 in: common practice, no published source


@dataclass(frozen=True, slots=True)
class StemForm:
    """Proportions of a stem: shares of the height of the end."""

    falls_back: float
    foremost_at: float
    forefoot: float
    rake: float


STEMS = {
    StemShape.RECURVED: StemForm(falls_back=0.14, foremost_at=0.6, forefoot=0.95, rake=0.0),
    StemShape.PLUMB: StemForm(falls_back=0.0, foremost_at=0.62, forefoot=0.8, rake=0.0),
    StemShape.RAKED: StemForm(falls_back=0.0, foremost_at=1.0, forefoot=1.0, rake=0.3),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The side view: every curve in metres, x forward from amidships, z up from the base line.

    Parameters
    ----------
    principal : Principal
        The dimensions that it was drawn from.
    sheer : Cubic
        The forward half of the sheer, from amidships to the tip.
    stem : tuple of Cubic
        The forward stem, from the tip down to its heel.
    keel : Cubic
        The keel line from the forward heel to the after one, an exact parabola.
    """

    principal: Principal
    sheer: Cubic
    stem: tuple[Cubic, ...]
    keel: Cubic

    @property
    def whole_sheer(self) -> tuple[Cubic, ...]:
        """The sheer from the after tip to the forward one."""
        return (self.sheer.mirrored(), self.sheer)

    @property
    def outline(self) -> tuple[Cubic, ...]:
        """The closed outline: along the sheer, down the forward stem, along the keel, up the after stem."""
        return (*self.whole_sheer, *self.stem, self.keel, *(c.mirrored() for c in reversed(self.stem)))

    def sheer_m(self, x_m: float) -> float:
        """Return the height of the sheer at `x_m` along the length, in metres."""
        return self.sheer.at(self.sheer.t_where(0, abs(x_m)))[1]

    def keel_m(self, x_m: float) -> float:
        """Return the height of the keel line, or of the stem's forefoot, at `x_m` along the length, in metres."""
        heel = self.keel.start[0]
        if abs(x_m) <= heel:
            return self.principal.keel_rise_m * (x_m / heel) ** 2
        forefoot = self.stem[-1]
        return forefoot.at(forefoot.t_where(0, abs(x_m)))[1]


@dataclass(frozen=True, slots=True)
class Rib:
    """One rib in the side view: where it stands along the length, its foot and its head, in metres."""

    x_m: float
    foot_m: float
    head_m: float


@lru_cache(maxsize=1024)
def profile(principal: Principal) -> Profile:
    """Draw the side view of a canoe from its principal dimensions.

    Parameters
    ----------
    principal : Principal
        The dimensions, checked.

    Returns
    -------
    Profile
        Sheer, stems and keel line in metres; the length over all and both depths are met exactly.
    """
    form = STEMS[principal.stem or StemShape.RECURVED]
    half, height = principal.length_m / 2, principal.end_depth_m
    tip = (half - form.falls_back * height, height)
    stem = _stem(tip, half, form, principal)
    heel = stem[-1].end
    rise = principal.keel_rise_m
    keel = Cubic(heel, (heel[0] / 3, -rise / 3), (-heel[0] / 3, -rise / 3), (-heel[0], rise))
    return Profile(principal=principal, sheer=_sweep(principal.depth_m, tip), stem=stem, keel=keel)


def ribs(side: Profile, spacing_m: float = RIB_SPACING_M) -> tuple[Rib, ...]:
    """Stand the ribs in the side view, each cut off where it meets the sheer and the keel line or forefoot.

    Parameters
    ----------
    side : Profile
        The side view.
    spacing_m : float
        Distance between centres, in metres; the drawing of a small picture takes a wider one.

    Returns
    -------
    tuple of Rib
        From aft forward, symmetrical about amidships, up to half-way along each forefoot.
    """
    heel = side.keel.start[0]
    reach = heel + (side.principal.length_m / 2 - heel) * 0.5
    pairs = int(reach / spacing_m)
    forward = [_rib(side, n * spacing_m) for n in range(pairs + 1)]
    return (*(Rib(-r.x_m, r.foot_m, r.head_m) for r in reversed(forward[1:])), *forward)


def seam(side: Profile, share: float) -> Cubic:
    """Return the forward half of a plank line, from amidships to the stem.

    Parameters
    ----------
    side : Profile
        The side view.
    share : float
        How far up the side it runs, 0 at the base line to 1 at the sheer.

    Returns
    -------
    Cubic
        A curve that sweeps like the sheer and ends on the stem.
    """
    height = share * side.principal.end_depth_m
    piece = stem_piece(side, height)
    return _sweep(share * side.principal.depth_m, piece.at(piece.t_where(1, height)))


def stem_piece(side: Profile, height_m: float) -> Cubic:
    """Return the curve of the forward stem that passes the height `height_m`."""
    return next((c for c in side.stem if c.end[1] <= height_m <= c.start[1]), side.stem[-1])


def _sweep(amidships_m: float, end: Point) -> Cubic:
    rise = end[1] - amidships_m
    return Cubic(
        (0.0, amidships_m),
        (SWEEP_LEAVE * end[0], amidships_m),
        (SWEEP_ARRIVE * end[0], amidships_m + SWEEP_LIFT * rise),
        end,
    )


def _stem(tip: Point, half: float, form: StemForm, p: Principal) -> tuple[Cubic, ...]:
    foremost = (half, form.foremost_at * p.end_depth_m)
    run = form.forefoot * p.end_depth_m
    heel = (half - run, p.keel_rise_m)
    slope = 2 * p.keel_rise_m / heel[0]  # of the keel's parabola at the heel, so that the stem leaves it fair
    drop = foremost[1] - heel[1]
    # A raked stem stays steeper than the sheer that meets it, or they would cross below the tip.
    sheer_slope = (1 - SWEEP_LIFT) * (p.end_depth_m - p.depth_m) / ((1 - SWEEP_ARRIVE) * half)
    rake = min(form.rake * run, STEEPER * FALL * drop / max(sheer_slope, LEVEL))
    forefoot = Cubic(
        foremost,
        (half - rake, foremost[1] - FALL * drop),
        (heel[0] + 0.5 * run, heel[1] + 0.5 * run * slope),
        heel,
    )
    if form.foremost_at == 1:
        return (forefoot,)
    lift = tip[1] - foremost[1]
    head = Cubic(
        tip, (tip[0] + 0.55 * (half - tip[0]), tip[1] - 0.3 * lift), (half, foremost[1] + 0.42 * lift), foremost
    )
    return (head, forefoot)


def _rib(side: Profile, x_m: float) -> Rib:
    return Rib(x_m, side.keel_m(x_m), side.sheer_m(x_m))

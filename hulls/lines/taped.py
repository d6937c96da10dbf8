"""The sizes of a hull of which girths or half-breadths were taped at stations, beside its four measures.

The type's shape is fitted to the tape: at a taped half-breadth the section is made wider or narrower, at a taped girth
its skin longer or shorter; in between the correction runs straight, beyond the last station it stays.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from hulls.lines.adding import one, sizes_of_nets
from hulls.lines.cuts import cut, girth, places
from hulls.lines.errors import LinesError
from hulls.lines.form import COARSE, FINE, Grid, Measures, surface
from hulls.lines.measured import form_of, plausible
from hulls.lines.principal import Principal, both_units
from hulls.lines.profile import Profile, profile
from hulls.lines.sizes import Sizes
from hulls.lines.skin import Array, Net, strips
from hulls.lines.types import DEFAULT, Form, HullType, filled_in

TAPE_OUT = 0.005  # share of a girth: 6 mm on 1.2 m, common practice, no published source
WIDER = 1.02  # than the measured beam: beyond it, one of the two is a slip
ODD = (0.4, 2.5)  # times what is taped, between which what the type has there is believed
NEAR = 1e-6  # metres from amidships, which belongs to both halves


@dataclass(frozen=True, slots=True, kw_only=True)
class Taped:
    """What was taped at one station.

    Parameters
    ----------
    x_m : float
        Where, in metres along the length from one end.
    girth_m : float or None
        From sheer to sheer round the keel.
    half_breadth_m : float or None
        The greatest there, over the planking.

    Raises
    ------
    LinesError
        For a girth smaller than the beam, nothing taped, or what is no length.
    """

    x_m: float
    girth_m: float | None = None
    half_breadth_m: float | None = None

    def __post_init__(self) -> None:
        for field in ("x_m", "girth_m", "half_breadth_m"):
            value = getattr(self, field)
            if value is not None and not (math.isfinite(value) and value > 0):
                raise LinesError(field, f"At the station at {self.x_m:g} m, {value:g} m is no length.")
        if self.girth_m is None and self.half_breadth_m is None:
            raise LinesError("girth_m", f"At the station at {self.x_m:g} m nothing was taped.")
        if self.girth_m is not None and self.half_breadth_m is not None and self.girth_m <= 2 * self.half_breadth_m:
            raise LinesError(
                "girth_m",
                f"The girth, {both_units(self.girth_m)}, is smaller than the beam, "
                f"{both_units(2 * self.half_breadth_m)}, at {both_units(self.x_m)}.",
            )


def measure_taped(principal: Principal, stations: Sequence[Taped], hull_type: HullType = DEFAULT) -> Sizes:
    """Reckon the sizes of a hull from its four measures and what was taped at stations.

    Parameters
    ----------
    principal : Principal
        The four measures.
    stations : sequence of Taped
        At least one, in any order. Where only one half of the hull was taped, the other half is taken to be like it.
    hull_type : HullType
        What is taken for the shape between.

    Returns
    -------
    Sizes
        The spread is half the range of the outside area over the forms that such a canoe may have, each fitted to the
        same tape, together with half a per cent for the tape itself.

    Raises
    ------
    LinesError
        For stations that cannot be on this hull.
    """
    known = filled_in(principal, hull_type)
    check_taped(known, stations)
    form, measures = form_of(known, hull_type), Measures.of(known)
    parts = halves(stations, known.length_m)
    both = [fitted(known, form, half) for half in parts]
    sizes = [one(sizes_of_nets(measures, fit.net, np.zeros(1), fit.longer), ()) for fit in both]
    middle = {name: (getattr(sizes[0], name) + getattr(sizes[1], name)) / 2 for name in MEANS}
    girths = _girths(both, known.length_m)
    return replace(
        sizes[0],
        **middle,
        greatest_girth_m=max([found for _, found in girths] + [station.girth_m or 0.0 for station in stations]),
        spread_pct=_spread(known, form, parts, middle["outside_area_m2"]),
        girths=girths,
    )


MEANS = ("outside_area_m2", "inside_area_m2", "sheer_length_m", "volume_m3")  # of two halves that may differ


def check_taped(known: Principal, stations: Sequence[Taped]) -> None:
    """Refuse stations that cannot be on a hull.

    Raises
    ------
    LinesError
        For none at all, two at one place, one beyond the ends, or one wider than the beam.
    """
    if not stations:
        raise LinesError("x_m", "No station was taped.")
    for station in stations:
        if station.x_m >= known.length_m:
            raise LinesError(
                "x_m", f"{both_units(station.x_m)} lies beyond the hull, which is {both_units(known.length_m)} long."
            )
        if station.half_breadth_m is not None and 2 * station.half_breadth_m > WIDER * known.beam_m:
            raise LinesError(
                "half_breadth_m",
                f"Twice this half-breadth is {both_units(2 * station.half_breadth_m)}, more than the beam of "
                f"{both_units(known.beam_m)}.",
            )
    for before, after in pairwise(sorted(station.x_m for station in stations)):
        if after - before < 1e-3:
            raise LinesError("x_m", f"Two stations stand at {both_units(after)}.")


@dataclass(frozen=True, slots=True)
class Fitted:
    """One half of a hull fitted to its tape: its quarter, and how much longer than that the skin is at taped girths."""

    side: Profile
    net: Net
    corrections: tuple[tuple[float, float], ...]

    def longer_at(self, x_m: Array) -> Array:
        """By how much the skin is longer round than the net, at places in metres from amidships."""
        return _between(self.corrections, x_m)

    @property
    def longer(self) -> Array:
        """The same between four neighbours each."""
        x = self.net.x
        return self.longer_at((x[..., :-1, :-1] + x[..., 1:, :-1] + x[..., 1:, 1:] + x[..., :-1, 1:]) / 4)

    def girth_m(self, x_m: float) -> float:
        """The girth at a place, in metres from amidships."""
        return girth(cut(self.net, self.side, x_m)) * float(self.longer_at(np.array(x_m)))


def fitted(known: Principal, form: Form, half: Sequence[Taped], grid: Grid = FINE) -> Fitted:
    """Fit one half of a hull to what was taped on it, `x_m` there being from amidships."""
    side, plain = profile(known), surface(Measures.of(known), form, grid)
    wider, longer = [], []
    for station in half:
        if station.half_breadth_m is not None:
            drawn = max((breadth for breadth, _ in cut(plain, side, station.x_m)), default=0.0)
            wider.append((station.x_m, _ratio(station, station.half_breadth_m, drawn)))
    net = Net(plain.x, plain.y * _between(wider, plain.x), plain.z)
    for station in half:
        if station.girth_m is not None:
            longer.append((station.x_m, _ratio(station, station.girth_m, girth(cut(net, side, station.x_m)))))
    return Fitted(side, net, tuple(longer))


def halves(stations: Sequence[Taped], length_m: float) -> tuple[tuple[Taped, ...], tuple[Taped, ...]]:
    """Part the stations into those of either half, each from amidships; a half that was not taped is like the other."""
    from_middle = sorted((station.x_m - length_m / 2, station) for station in stations)
    parts = [
        tuple(replace(station, x_m=max(abs(x), NEAR)) for x, station in from_middle if sign * x >= -NEAR)
        for sign in (1, -1)
    ]
    return parts[0] or parts[1], parts[1] or parts[0]


def _between(points: Sequence[tuple[float, float]], x_m: Array) -> Array:
    if not points:
        return np.ones_like(x_m)
    xs, values = zip(*sorted(points), strict=True)
    return np.asarray(np.interp(x_m, xs, values))


def _ratio(station: Taped, taped_m: float, drawn_m: float) -> float:
    low, high = ODD
    if not low * taped_m <= drawn_m <= high * taped_m:
        field = "girth_m" if taped_m == station.girth_m else "half_breadth_m"
        raise LinesError(
            field,
            f"{both_units(taped_m)} was taped where a hull of these measures has about {both_units(drawn_m)}. "
            "Look at the unit, and at where the station stands.",
        )
    return taped_m / drawn_m


def _girths(both: Sequence[Fitted], length_m: float) -> tuple[tuple[float, float], ...]:
    forward, after = both
    found = []
    for place in places(length_m):
        x = place - length_m / 2
        found.append((place, forward.girth_m(x) if x > 0 else after.girth_m(-x)))
    return tuple(found)


def _spread(known: Principal, form: Form, parts: Sequence[Sequence[Taped]], outside_m2: float) -> float:
    areas = []
    for other in plausible(form):
        fits = [fitted(known, other, half, COARSE) for half in parts]
        areas.append(2 * sum(float(np.sum(strips(fit.net, fit.longer)[0])) for fit in fits))
    return 100 * math.hypot((max(areas) - min(areas)) / 2 / outside_m2, TAPE_OUT)

"""The principal dimensions of a canoe, as they are taken with a tape, and the limits that they keep."""

import math
from dataclasses import dataclass
from enum import StrEnum

from hulls.lines.errors import LinesError
from hulls.wording import gettext_noop

METRES_PER_FOOT = 0.3048  # exact, by the international agreement of 1959
INCHES_PER_METRE = 12 / METRES_PER_FOOT
ROCKER_SHARE = 0.007  # of the length, where no rocker was measured: about 35 mm on a 16 ft canoe


class StemShape(StrEnum):
    """How the stem stands in the side view."""

    RECURVED = "recurved"
    PLUMB = "plumb"
    RAKED = "raked"


@dataclass(frozen=True, slots=True)
class Limits:
    """The lengths, in metres, between which a dimension is believed, and what it is called."""

    low_m: float
    high_m: float
    says: str


# Wide on purpose: they catch a slip of the pen, not an unusual boat. Lengths: 8 ft to 35 ft.
LIMITS = {
    "length_m": Limits(2.4, 10.7, gettext_noop("A canoe is between 2.4 m (8 ft) and 10.7 m (35 ft) long")),
    "beam_m": Limits(0.5, 2.0, gettext_noop("A canoe is between 0.5 m (20 in) and 2 m (79 in) wide")),
    "depth_m": Limits(0.15, 0.9, gettext_noop("A canoe is between 0.15 m (6 in) and 0.9 m (35 in) deep amidships")),
    "end_depth_m": Limits(0.2, 1.6, gettext_noop("The ends of a canoe stand between 0.2 m (8 in) and 1.6 m (63 in)")),
    "rocker_m": Limits(0.0, 0.25, gettext_noop("The rocker of a canoe is between 0 and 0.25 m (10 in)")),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Principal:
    """The principal dimensions of one canoe.

    Parameters
    ----------
    length_m : float
        Length over all, stem to stem.
    beam_m : float
        Greatest beam, over the planking.
    depth_m : float
        Depth amidships, from the base line to the sheer.
    end_depth_m : float
        Height of the sheer at the ends above the base line.
    rocker_m : float or None
        Rise of the keel line at the heel of the stems; where it was not measured, a slight one is drawn.
    stem : StemShape or None
        How the stems stand; where nothing is said, the hull's type tells, and a drawing has them recurved.

    Raises
    ------
    LinesError
        For the first dimension that no canoe has.
    """

    length_m: float
    beam_m: float
    depth_m: float
    end_depth_m: float
    rocker_m: float | None = None
    stem: StemShape | None = None

    def __post_init__(self) -> None:
        for field in LIMITS:
            value = getattr(self, field)
            if field != "rocker_m" or value is not None:
                _check_limits(field, value)
        _check_together(self)
        if self.stem is not None and not isinstance(self.stem, StemShape):
            raise LinesError("stem", gettext_noop("A stem is recurved, plumb or raked."))

    @property
    def keel_rise_m(self) -> float:
        """Rise of the keel line at the heel of the stems, measured or assumed, in metres."""
        if self.rocker_m is None:
            return min(ROCKER_SHARE * self.length_m, self.depth_m / 4)
        return self.rocker_m


def _check_limits(field: str, value: float) -> None:
    limits = LIMITS[field]
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise LinesError(field, gettext_noop("%(limits)s; this is not a number."), limits=limits.says)
    if not limits.low_m <= value <= limits.high_m:
        raise LinesError(
            field, gettext_noop("%(limits)s; this says %(value)s."), limits=limits.says, value=both_units(value)
        )


def _check_together(p: Principal) -> None:
    if p.beam_m >= p.length_m / 2:
        raise LinesError("beam_m", gettext_noop("The beam must be less than half the length."))
    if p.depth_m >= p.beam_m:
        raise LinesError("depth_m", gettext_noop("The depth amidships must be less than the beam."))
    if p.end_depth_m < p.depth_m:
        raise LinesError("end_depth_m", gettext_noop("The ends must stand at least as high as the hull is deep."))
    if p.end_depth_m > p.length_m / 4:
        raise LinesError("end_depth_m", gettext_noop("The ends cannot stand higher than a quarter of the length."))
    if p.rocker_m is not None and p.rocker_m > p.depth_m / 4:
        raise LinesError("rocker_m", gettext_noop("The rocker cannot be more than a quarter of the depth amidships."))


def both_units(value_m: float) -> str:
    """Write a length for a message, in metres and in feet or inches."""
    feet = value_m / METRES_PER_FOOT
    small = f"{value_m * INCHES_PER_METRE:.3g} in" if abs(feet) < 1 else f"{feet:.3g} ft"
    return f"{value_m:.3g} m ({small})"

"""Types of canoe, by which the shape between four tape measures is filled in.

The numbers are a convention of our own, set by eye from drawings of canoes: no published lines. How far they may be
out is what the spread of `hulls.lines.measured` says.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from hulls.lines.errors import LinesError
from hulls.lines.principal import Principal, StemShape


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How the shape runs between the measured numbers.

    Parameters
    ----------
    fullness : float
        Share of the rectangle length by beam that the hull fills seen from above, 0.5 to 0.95; 2/3 is a parabola.
    bottom : float
        Exponent of the superellipse that the section amidships is: 1 is a plain V, 2 an ellipse, 4 nearly flat.
    tumblehome : float
        Share of the half-breadth by which the side comes in again at the sheer amidships, 0 to 0.2.
    rocker : float
        Rise of the keel line at the stems where none was measured, as a share of the length, 0 to 0.05.
    stem : StemShape
        How the stems stand where nothing else is said.

    Raises
    ------
    LinesError
        For a number outside these limits.
    """

    fullness: float
    bottom: float
    tumblehome: float
    rocker: float
    stem: StemShape

    def __post_init__(self) -> None:
        for field, (low, high) in FORM_LIMITS.items():
            if not low <= getattr(self, field) <= high:
                raise LinesError(field, f"The {field} of a hull type lies between {low:g} and {high:g}.")


FORM_LIMITS = {"fullness": (0.5, 0.95), "bottom": (0.75, 25.0), "tumblehome": (0.0, 0.2), "rocker": (0.0, 0.05)}


@dataclass(frozen=True, slots=True, kw_only=True)
class HullType:
    """A named form: what it is called in data (`key`) and by people (`title`), and its numbers."""

    key: str
    title: str
    form: Form


def _type(
    key: str, title: str, fullness: float, bottom: float, tumblehome: float, rocker: float, stem: StemShape
) -> HullType:
    form = Form(fullness=fullness, bottom=bottom, tumblehome=tumblehome, rocker=rocker, stem=stem)
    return HullType(key=key, title=title, form=form)


DEFAULT = _type("all-round", "all-round: shallow arched bottom", 0.70, 2.6, 0.03, 0.007, StemShape.RECURVED)

HULL_TYPES: Mapping[str, HullType] = MappingProxyType(
    {
        kind.key: kind
        for kind in (
            DEFAULT,
            _type("flat", "flat bottom, full ends", 0.74, 3.4, 0.02, 0.004, StemShape.RECURVED),
            _type("round", "round bottom, fine ends", 0.66, 2.0, 0.04, 0.006, StemShape.PLUMB),
            _type("river", "much rocker, for rivers", 0.70, 2.4, 0.0, 0.015, StemShape.RAKED),
            _type("freighter", "freighter: wide, flat and full", 0.78, 3.6, 0.0, 0.004, StemShape.PLUMB),
        )
    }
)


def filled_in(principal: Principal, hull_type: HullType = DEFAULT) -> Principal:
    """Return the dimensions with the rocker and the stems of the type where neither was measured.

    Parameters
    ----------
    principal : Principal
        What was measured.
    hull_type : HullType
        What is taken for the rest.

    Returns
    -------
    Principal
        The rocker at most a quarter of the depth, as `Principal` allows.
    """
    form, rocker = hull_type.form, principal.rocker_m
    if rocker is None:
        rocker = min(form.rocker * principal.length_m, principal.depth_m / 4)
    return replace(principal, rocker_m=rocker, stem=principal.stem or form.stem)

"""Products for the tests, by generic names; their numbers are the tests' own."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from hulls.lines import Principal, Sizes, measure
from hulls.takeoff import Material, Pack

FOOT, INCH = 0.3048, 0.0254


def a_canoe(length_ft: float = 16, beam_in: float = 34.5, depth_in: float = 12.5, end_in: float = 24) -> Sizes:
    """The sizes of a canoe of the usual type."""
    return measure(
        Principal(length_m=length_ft * FOOT, beam_m=beam_in * INCH, depth_m=depth_in * INCH, end_depth_m=end_in * INCH)
    )


def a_pack(amount: float, price: str | None = None, **more: Any) -> Pack:
    return Pack(amount=amount, called=f"pack of {amount:g}", price=None if price is None else Decimal(price), **more)


DUCK = Material(
    name="duck",
    kind="canvas",
    unit="m",
    duck_number=10,
    packs=(a_pack(1, roll_width_in=60.0), a_pack(1, roll_width_in=72.0)),
)
ENAMEL = Material(name="enamel", kind="enamel", spread_m2_per_unit=10.0, loss=0.2, oil_based=True, sanded=True)
LATEX = Material(name="latex filler", kind="latex_filler", spread_m2_per_unit=5.0)
TACKS = Material(name="tacks", kind="tacks", unit="kg", pieces_per_kg=1000.0)
SPIRITS = Material(name="spirits", kind="solvent")
RAGS = Material(name="rags", kind="rags", unit="kg")
GLOVES = Material(name="gloves", kind="gloves", unit="pc")
STRAINERS = Material(name="strainers", kind="filter", unit="pc")
SHEETS = tuple(
    Material(name=f"sheet P{grit}", kind="abrasive", unit="pc", grit=grit, packs=(a_pack(10),))
    for grit in (80, 120, 220, 320)
)
RIBS = Material(name="rib stock", kind="timber", unit="m", part="ribs", packs=(a_pack(2.0), a_pack(4.0)))
OUTWALES = Material(name="outwale stock", kind="timber", unit="m", part="outwales", packs=(a_pack(3.0), a_pack(6.0)))
ALL = (DUCK, ENAMEL, LATEX, TACKS, SPIRITS, RAGS, GLOVES, STRAINERS, *SHEETS, RIBS, OUTWALES)


def without(*kinds: str) -> tuple[Material, ...]:
    return tuple(material for material in ALL if material.kind not in kinds)


def instead(material: Material, **changes: Any) -> tuple[Material, ...]:
    """All of them, one changed."""
    return tuple(replace(found, **changes) if found is material else found for found in ALL)

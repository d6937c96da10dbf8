"""A product as the engine sees it: what it is, how it dries, and what it asks of the hands."""

from dataclasses import dataclass

from hulls.takeoff import Material
from stages.engine.label import Label
from stages.engine.paintair import AirLimits
from stages.engine.vocab import ProductKind

USUAL_AIR = AirLimits()


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One product of the shop.

    Parameters
    ----------
    id : int
        Its number in the shop's list.
    name : str
        Generic name.
    kind : ProductKind
        What it is for.
    label : Label or None
        How it dries; None for what does not dry, such as canvas.
    oil_based : bool
        An alkyd, oil varnish or one-part polyurethane.
    sand_between : bool
        Must be sanded before the next coat goes on.
    smoothed_wet : bool
        Sands badly and is smoothed with a wet hand or rag instead.
    uv_protecting : bool
        A gloss varnish that keeps the sun off what lies under it.
    self_heating : bool
        Rags wet with it can take fire by themselves.
    dry_days_outdoors : int
        Rain-free days that it stays outdoors after it went on, in days.
    factor : float
        The shop's own factor on the label's hours.
    air : AirLimits
        The air that it may go on in.
    unit : str
        What it is counted in: "L", "kg", "m2", "m" or "pc".
    counted : bool
        The shop keeps count of what the stores hold of it.
    material : Material or None
        The product as the take-off reads it; None where its numbers cannot be reckoned with.
    usage : float
        The shop's own factor on what a coat takes by the label.
    """

    id: int
    name: str
    kind: ProductKind
    label: Label | None = None
    oil_based: bool = False
    sand_between: bool = False
    smoothed_wet: bool = False
    uv_protecting: bool = False
    self_heating: bool = False
    dry_days_outdoors: int = 0
    factor: float = 1.0
    air: AirLimits = USUAL_AIR
    colour: str = ""
    unit: str = "L"
    counted: bool = True
    material: Material | None = None
    usage: float = 1.0

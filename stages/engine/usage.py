"""What one coat takes of its product: by area and spreading rate, what is lost, and what the shop has measured."""

from stages.engine.products import Product
from stages.engine.vocab import ProductKind, Surface

# Share of the hull's outside area that a surface has. Common practice, no published source.
SHARE = {Surface.PLANKING: 1.0, Surface.SKIN: 1.0, Surface.INSIDE: 1.0, Surface.BRIGHTWORK: 0.25}
CLAMPS_M = 1.0  # canvas beyond the hull's length, for the clamps at both ends. Common practice, no published source.


def coat_amount(product: Product, surface: Surface, *, area_m2: float, length_m: float) -> float | None:
    """Give what one coat takes, in the product's unit.

    Parameters
    ----------
    product : Product
        Its spreading rate, its losses, and the shop's own factor on both.
    surface : Surface
        Where it goes on.
    area_m2, length_m : float
        Outside area, m², and length, m, of the hull.

    Returns
    -------
    float or None
        Area over spreading rate, over what is not lost, times the shop's factor; canvas by the metre is the hull's
        length and what the clamps hold. None where the label says nothing of how far it goes.
    """
    by_label = label_amount(product, surface, area_m2=area_m2, length_m=length_m)
    return by_label * product.usage if by_label else None


def label_amount(product: Product, surface: Surface, *, area_m2: float, length_m: float) -> float | None:
    """Give what one coat takes by the label alone, whatever the shop has measured; as `coat_amount` otherwise."""
    if product.kind is ProductKind.CANVAS and product.unit == "m":
        return length_m + CLAMPS_M if length_m else None
    if not product.spread_m2_per_unit or not area_m2:
        return None
    return area_m2 * SHARE[surface] / product.spread_m2_per_unit / (1.0 - product.loss)

"""Areas, as the shop shows them."""

from shop.units.registry import factor
from shop.units.system import UnitSystem
from shop.units.tidy import decimal


def format_area(area_m2: float, system: UnitSystem) -> str:
    """Show an area as the shop reads it: ``5.38 m²`` or ``57.9 ft²``.

    Parameters
    ----------
    area_m2
        Square metres.
    system
        The shop's units.

    Returns
    -------
    str
        The area with its unit.
    """
    if system is UnitSystem.US:
        return f"{decimal(area_m2 / float(factor('foot**2', 'meter**2')), 1)} ft²"
    return f"{decimal(area_m2, 2)} m²"

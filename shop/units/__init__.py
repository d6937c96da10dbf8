"""The one place of unit conversion: what people write in, SI out, and back again."""

from shop.units.amount import Amount, format_mass, format_volume, parse_amount, parse_mass, parse_volume
from shop.units.area import format_area
from shop.units.eighths import is_eighths, parse_eighths
from shop.units.errors import UnitError
from shop.units.length import LengthUnit, format_length, parse_length
from shop.units.quantity import format_quantity, parse_quantity, unit_name
from shop.units.registry import convert
from shop.units.system import UnitSystem
from shop.units.temperature import format_temperature, parse_temperature

__all__ = [
    "Amount",
    "LengthUnit",
    "UnitError",
    "UnitSystem",
    "convert",
    "format_area",
    "format_length",
    "format_mass",
    "format_quantity",
    "format_temperature",
    "format_volume",
    "is_eighths",
    "parse_amount",
    "parse_eighths",
    "parse_length",
    "parse_mass",
    "parse_quantity",
    "parse_temperature",
    "parse_volume",
    "unit_name",
]

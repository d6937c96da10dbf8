"""The shop's tables."""

from shop.models.jobs import Job
from shop.models.money import HalfCoins, Tax
from shop.models.people import CrewMember, Role
from shop.models.places import Charging, Shop, Station, StationKind, Units, Zone
from shop.models.products import COATING_CHOICES, COATINGS, CureFamily, Product, ProductKind, Unit
from shop.models.pulse import Pulse
from shop.models.readings import Flag, Reading, WeatherDay
from shop.models.sensors import RainFall, Sensor, SensorMove
from shop.models.stores import Lot, Move, Movement, OrderLine, Pack, Supplier

__all__ = [
    "COATINGS",
    "COATING_CHOICES",
    "Charging",
    "CrewMember",
    "CureFamily",
    "Flag",
    "HalfCoins",
    "Job",
    "Lot",
    "Move",
    "Movement",
    "OrderLine",
    "Pack",
    "Product",
    "ProductKind",
    "Pulse",
    "RainFall",
    "Reading",
    "Role",
    "Sensor",
    "SensorMove",
    "Shop",
    "Station",
    "StationKind",
    "Supplier",
    "Tax",
    "Unit",
    "Units",
    "WeatherDay",
    "Zone",
]

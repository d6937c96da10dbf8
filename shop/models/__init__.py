"""The shop's tables."""

from shop.models.jobs import Job
from shop.models.people import CrewMember, Role
from shop.models.places import Shop, Station, StationKind, Units, Zone
from shop.models.products import CureFamily, Product, ProductKind
from shop.models.pulse import Pulse
from shop.models.readings import Flag, Reading, WeatherDay
from shop.models.sensors import RainFall, Sensor

__all__ = [
    "CrewMember",
    "CureFamily",
    "Flag",
    "Job",
    "Product",
    "ProductKind",
    "Pulse",
    "RainFall",
    "Reading",
    "Role",
    "Sensor",
    "Shop",
    "Station",
    "StationKind",
    "Units",
    "WeatherDay",
    "Zone",
]

"""The shop's tables."""

from shop.models.hours import DayOff, Skill, WorkDay, WorkedHoliday
from shop.models.jobs import Job
from shop.models.letters import Weekday
from shop.models.money import HalfCoins, Tax
from shop.models.people import CrewMember, Role
from shop.models.places import Charging, Planning, Shop, Station, StationKind, Units, Zone
from shop.models.products import COATING_CHOICES, COATINGS, CureFamily, Product, ProductKind, Unit
from shop.models.pulse import Pulse
from shop.models.readings import Flag, Reading, WeatherDay
from shop.models.sensors import RainFall, Sensor, SensorMove
from shop.models.sides import View
from shop.models.stores import Lot, Move, Movement, OrderLine, Pack, Supplier

__all__ = [
    "COATINGS",
    "COATING_CHOICES",
    "Charging",
    "CrewMember",
    "CureFamily",
    "DayOff",
    "Flag",
    "HalfCoins",
    "Job",
    "Lot",
    "Move",
    "Movement",
    "OrderLine",
    "Pack",
    "Planning",
    "Product",
    "ProductKind",
    "Pulse",
    "RainFall",
    "Reading",
    "Role",
    "Sensor",
    "SensorMove",
    "Shop",
    "Skill",
    "Station",
    "StationKind",
    "Supplier",
    "Tax",
    "Unit",
    "Units",
    "View",
    "WeatherDay",
    "Weekday",
    "WorkDay",
    "WorkedHoliday",
    "Zone",
]

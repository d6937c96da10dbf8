"""The units that the shop of this request reads in, for text that is made far from the request."""

from contextvars import ContextVar

from shop.units import UnitSystem

units_here: ContextVar[UnitSystem] = ContextVar("units_here", default=UnitSystem.METRIC)

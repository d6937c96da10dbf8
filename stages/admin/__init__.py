"""Routes, the set-up that the log names, the log itself and the currency, for the shop's owner."""

from stages.admin import charging, log, routes, setup

__all__ = ["charging", "log", "routes", "setup"]

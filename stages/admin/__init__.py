"""Routes, the set-up that the log names, and the log itself, for the shop's owner."""

from stages.admin import log, routes, setup

__all__ = ["log", "routes", "setup"]

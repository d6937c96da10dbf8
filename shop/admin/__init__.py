"""The shop's own settings, for its owner: each module registers what it shows."""

from shop.admin import jobs, money, people, planning, readings, shop, stores

__all__ = ["jobs", "money", "people", "planning", "readings", "shop", "stores"]

"""Reads of the shop itself."""

from functools import lru_cache

from shop.models import Pulse, Shop


def the_shop(pulse: Pulse) -> Shop:
    """The shop's settings, kept as long as the set-up's stamp stands."""
    return _kept(pulse.setup) if pulse.pk else Shop.the_one()


@lru_cache(maxsize=2)
def _kept(stamp: str) -> Shop:
    return Shop.the_one()

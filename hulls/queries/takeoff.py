"""A hull's take-off from its rows and the shop's shelves."""

from hulls.materials import shop_materials
from hulls.models import Hull
from hulls.sizes import sizes_of
from hulls.takeoff import TakeOff, Work, take_off


def hull_take_off(hull: Hull, work: Work) -> TakeOff:
    """Reckon what a hull needs, in two queries.

    Parameters
    ----------
    hull : Hull
        The boat, for its sizes.
    work : Work
        What is to be done on it.
    """
    return take_off(sizes_of(hull), work, shop_materials())

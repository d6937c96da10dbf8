"""The photos of a boat as it leaves: those that the shop takes of every boat."""

from collections.abc import Iterable

from hulls.models import Photo, PhotoState
from shop.models import Shop, View
from stages.engine.leaving import leaves_by
from stages.engine.route import Route
from stages.queries.photos import in_sight


def final_steps(route: Route) -> frozenset[str]:
    """The steps whose photos show a boat as it leaves: the hand-over, and what comes right before it."""
    spec = leaves_by(route)
    return frozenset({spec.key, *spec.after})


def wanted_views(shop: Shop) -> tuple[View, ...]:
    """The sides that the shop photographs of every boat before it leaves."""
    return tuple(view for view in View if view and view.value in shop.final_views)


def last_of_each(photos: Iterable[Photo], steps: frozenset[str]) -> dict[str, Photo]:
    """By side, the last photo at the steps; ``photos`` in the order in which they were taken."""
    return {photo.view: photo for photo in photos if photo.view and photo.stage in steps}


def missing_of(photos: Iterable[Photo], steps: frozenset[str], wanted: Iterable[View]) -> tuple[View, ...]:
    """The wanted sides of which there is no photo at the steps; one that was refused is none."""
    there = last_of_each((photo for photo in photos if photo.state != PhotoState.REFUSED), steps)
    return tuple(view for view in wanted if view.value not in there)


def missing_views(hull_id: int, route: Route, shop: Shop) -> tuple[View, ...]:
    """The same of a hull, in one query."""
    return missing_of(in_sight(hull_id), final_steps(route), wanted_views(shop))

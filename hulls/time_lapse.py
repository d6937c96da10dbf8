"""Which photos of a boat go together: pairs of before and after, and the frames of its time-lapse."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from django.utils import timezone

from hulls.models import Photo
from hulls.photos.lapse import spread

FEWEST_OF_A_VIEW = 3  # as many photos of one view make a better time-lapse than all of them mixed


def by_view(photos: Iterable[Photo]) -> dict[str, list[Photo]]:
    """Photos by the view that they were given, in the order in which they come; those without one are left out."""
    found: dict[str, list[Photo]] = defaultdict(list)
    for photo in photos:
        if photo.view:
            found[photo.view].append(photo)
    return dict(found)


def pairs_of(photos: Iterable[Photo]) -> list[tuple[Photo, Photo]]:
    """The first and the last photo of each view that was taken on two days at least, by the shop's clock.

    Parameters
    ----------
    photos : iterable of Photo
        In the order in which they were taken.
    """
    found = by_view(photos).values()
    return [(same[0], same[-1]) for same in found if _day(same[0]) != _day(same[-1])]


def _day(photo: Photo) -> date:
    return timezone.localtime(photo.taken_at).date()


def frames_of(photos: Sequence[Photo]) -> list[Photo]:
    """The frames of a time-lapse: the photos of the view that was taken most, or all where none has three.

    Parameters
    ----------
    photos : sequence of Photo
        In the order in which they were taken.
    """
    most = max(by_view(photos).values(), key=len, default=[])
    return spread(most if len(most) >= FEWEST_OF_A_VIEW else photos)

"""A photo as a page shows it: its addresses in every width, and words for who cannot see it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from hulls.models import Photo, PhotoState, View
from hulls.photos.copies import SIDES, size_of

Address = Callable[[int, str], str]  # of a photo's copy, by its number and size


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A photo, ready to show. ``refusal`` says why it was not kept; ``waiting`` that it is being worked on."""

    pk: int
    taken_at: datetime
    day: str
    caption: str
    view: str
    stage: str
    shared: bool
    waiting: bool
    refusal: str
    alt: str
    tiny: str
    width: int
    height: int
    src: str
    srcset: str
    large: str


def shown(photo: Photo, address: Address, stage: str = "") -> Shown:
    """A photo as a page shows it.

    Parameters
    ----------
    photo : Photo
        The photo.
    address : callable
        Where whoever looks finds its copies.
    stage : str
        The name of the step that it was taken at.
    """
    day = date_format(timezone.localtime(photo.taken_at), "j F Y")
    view = str(View(photo.view).label) if photo.view else ""
    width, height = size_of(photo.width, photo.height, "medium")
    return Shown(
        pk=photo.pk,
        taken_at=photo.taken_at,
        day=day,
        caption=photo.caption,
        view=view,
        stage=stage,
        shared=photo.shared,
        waiting=photo.state == PhotoState.WAITING,
        refusal=_(photo.refusal) if photo.refusal else "",
        alt=photo.caption or _alt(view, stage, day),
        tiny=photo.tiny,
        width=width,
        height=height,
        src=address(photo.pk, "medium"),
        srcset=_srcset(photo, address),
        large=address(photo.pk, "large"),
    )


def _alt(view: str, stage: str, day: str) -> str:
    if view or stage:
        return _("%(what)s, %(day)s") % {"what": ", ".join(filter(None, (view.capitalize(), stage))), "day": day}
    return _("Photo of %(day)s") % {"day": day}


def _srcset(photo: Photo, address: Address) -> str:
    """The copies by their widths; of a small photo, whose copies are all alike, the first."""
    by_width: dict[int, str] = {}
    for size in SIDES:
        by_width.setdefault(size_of(photo.width, photo.height, size)[0], address(photo.pk, size))
    return ", ".join(f"{found} {width}w" for width, found in by_width.items())

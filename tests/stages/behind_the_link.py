"""A boat owner's link, as tests follow it."""

import io
from datetime import datetime

from django.db import transaction
from PIL import Image

from hulls.models import Hull, Photo, TimeLapse
from hulls.photo_files import keep_copies, read_sent
from hulls.photos.copies import make_copies
from stages.jobs import time_lapse
from stages.queries.photos import line_of
from stages.services.links import renew_link
from stages.services.notes import strike_entry
from stages.services.photo_work import show_photo
from stages.services.photos import add_photo
from tests.answers import Answer
from tests.factories import hand

NEVER_MADE = "AAAAAAAAAAAAAAAAAAAAAA"  # a token as they are made, and one that never was


def link_to(hull: Hull) -> str:
    token = renew_link(hull_id=hull.pk, hand=hand())
    assert token is not None
    return f"/p/{token}/"


def a_photo(
    hull: Hull,
    caption: str,
    *,
    shared: bool = True,
    as_sent: bool = False,
    size: tuple[int, int] = (40, 30),
    at: datetime | None = None,
    colour: str = "#c08a55",
    view: str = "",
    stage: str = "",
) -> Photo:
    """A photo of a hull; as it was sent, before it is worked, if so asked."""
    file = io.BytesIO()
    Image.new("RGB", size, colour).save(file, "JPEG")
    added = add_photo(
        hull_id=hull.pk, file=file, hand=hand(at=at), caption=caption, shared=shared, view=view, stage=stage
    )
    assert added.entry is not None
    photo = Photo.objects.get(pk=added.entry.details["photo"])
    return photo if as_sent else worked(photo)


def strike(photo: Photo) -> None:
    """Strike the line of a photo."""
    line = line_of(photo)
    assert line is not None
    assert strike_entry(hull_id=photo.hull_id, number=line, reason="of another boat", hand=hand()).done


def make_time_lapse(hull: Hull) -> None:
    """Do the last of a hull's jobs for its time-lapse, now."""
    effect = time_lapse({"hull": hull.pk, "wanted": TimeLapse.objects.get(hull=hull).wanted})
    with transaction.atomic():
        effect()


def worked(photo: Photo) -> Photo:
    """The photo as the background work leaves it, done here and now."""
    copies = make_copies(io.BytesIO(read_sent(photo)))
    keep_copies(photo, copies)
    with transaction.atomic():
        show_photo(photo, copies)
    photo.refresh_from_db()
    return photo


def without_date(response: Answer) -> tuple[int, bytes, dict[str, str]]:
    return response.status_code, response.content, dict(response.headers)

"""What the background work on photos writes: copies, refusals, time-lapses, and what leaves the disk."""

from datetime import datetime, timedelta
from functools import partial

from django.db import transaction

from hulls.models import Photo, PhotoState, TimeLapse
from hulls.photo_files import in_page, names_of, photo_storage, remove
from hulls.photos.copies import Copies
from hulls.photos.errors import LOST
from shop.jobs.enqueue import enqueue
from shop.models import Job, Pulse, Shop

QUIET = timedelta(seconds=45)  # a time-lapse waits until nothing changed for so long
LEFT_LYING = timedelta(days=1)  # a file that was sent and is no photo's yet may still become one's until then


def show_photo(photo: Photo, copies: Copies) -> None:
    """Show a photo whose copies are kept; what was sent is removed."""
    found = Photo.objects.filter(pk=photo.pk, state=PhotoState.WAITING)
    found.update(state=PhotoState.READY, width=copies.width, height=copies.height, tiny=in_page(copies.tiny))
    if not photo.signed_paper:
        photos_changed(photo.hull_id)
    Pulse.bump()
    transaction.on_commit(lambda: remove([photo.sent_name]), robust=True)


def refuse_photo(photo: Photo, why: str) -> None:
    """Say of a photo why it was not kept; what was sent is removed."""
    Photo.objects.filter(pk=photo.pk, state=PhotoState.WAITING).update(state=PhotoState.REFUSED, refusal=why)
    Pulse.bump()
    transaction.on_commit(lambda: remove([photo.sent_name]), robust=True)


def photos_changed(hull_id: int, *, hide: bool = False) -> None:
    """Have a hull's time-lapse made anew once its photos are left alone for a while.

    Parameters
    ----------
    hull_id : int
        The hull.
    hide : bool
        Whether the one that there is may show what must not be seen any more: then it goes at once.
    """
    TimeLapse.objects.get_or_create(hull_id=hull_id)
    lapse = TimeLapse.objects.select_for_update().get(hull_id=hull_id)
    lapse.wanted += 1
    if hide:
        transaction.on_commit(partial(remove, [lapse.whole, lapse.shared]), robust=True)
        lapse.whole = lapse.shared = ""
    lapse.save()
    payload = {"hull": hull_id, "wanted": lapse.wanted}
    enqueue(name="time_lapse", key=f"time_lapse:{hull_id}:{lapse.wanted}", payload=payload, wait=QUIET)


def show_time_lapse(*, hull_id: int, wanted: int, whole: str, shared: str) -> None:
    """Show a time-lapse that was made, unless the photos changed meanwhile; the one before it goes."""
    before = TimeLapse.objects.select_for_update().get(hull_id=hull_id)
    still = before.wanted == wanted
    if still:
        TimeLapse.objects.filter(pk=before.pk).update(whole=whole, shared=shared)
        Pulse.bump()
    gone = [before.whole, before.shared] if still else [whole, shared]
    transaction.on_commit(partial(remove, gone), robust=True)


def due_to_leave(now: datetime) -> list[Photo]:
    """Photos that were struck longer ago than the shop's period and still have files."""
    until = now - timedelta(days=Shop.the_one().struck_photo_days)
    return list(Photo.objects.filter(struck_at__lte=until).exclude(state=PhotoState.GONE))


def remove_files(photos: list[Photo]) -> None:
    """Remove every file of photos."""
    remove(name for photo in photos for name in names_of(photo))


def forget(photos: list[Photo]) -> None:
    """Write down that photos have no files any more."""
    Photo.objects.filter(pk__in=[photo.pk for photo in photos]).update(state=PhotoState.GONE, tiny="")


def given_up() -> list[Photo]:
    """Photos that wait for a job that was given up."""
    keys = Job.objects.filter(name="work_photo", state=Job.State.FAILED).values_list("payload__photo", flat=True)
    return list(Photo.objects.filter(state=PhotoState.WAITING, pk__in=list(keys)))


def give_up(photos: list[Photo]) -> None:
    """Say of photos that they were lost."""
    for photo in photos:
        refuse_photo(photo, LOST)


def remove_left_lying(now: datetime) -> None:
    """Remove what was sent and belongs to no photo that waits: it holds all that the phone wrote into it."""
    storage = photo_storage()
    try:
        names = storage.listdir("sent")[1]
    except FileNotFoundError:
        return
    waiting = set(Photo.objects.filter(state=PhotoState.WAITING, struck_at=None).values_list("stem", flat=True))
    for name in names:
        if name not in waiting and storage.get_modified_time(f"sent/{name}") < now - LEFT_LYING:
            remove([f"sent/{name}"])

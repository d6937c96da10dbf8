"""Background work on hulls: photos, time-lapses, letters, and what is done every night."""

from django.utils import timezone

from hulls.models import Photo, PhotoState, TimeLapse
from hulls.photo_files import keep_copies, keep_lapse, read, read_sent
from hulls.photos.apart import copies_apart, lapse_apart
from hulls.photos.errors import LOST, PhotoError
from hulls.time_lapse import frames_of
from shop.jobs.registry import Effect, Payload, job
from shop.jobs.run import due
from stages.audit import differences
from stages.queries.photos import in_sight
from stages.services import messages, photo_work, post
from stages.services.alerts import send_alert
from stages.services.planning import JOB, ask_for_plan, keep
from stages.services.replanning import plan_again

FEWEST_FRAMES = 2


class AuditError(RuntimeError):
    """The tables do not equal the log; the job that found it is kept as failed, with the first difference."""


@job("work_photo")
def work_photo(payload: Payload) -> Effect:
    """Make the copies of a photo; nothing for one that is worked already, struck, or gone."""
    photo = Photo.objects.filter(pk=payload["photo"], state=PhotoState.WAITING, struck_at=None).first()
    if photo is None:
        return lambda: None
    try:
        copies = copies_apart(read_sent(photo))
    except PhotoError as error:
        why = error.message
        return lambda: photo_work.refuse_photo(photo, why)
    except FileNotFoundError:
        return lambda: photo_work.refuse_photo(photo, LOST)
    keep_copies(photo, copies)
    return lambda: photo_work.show_photo(photo, copies)


@job("time_lapse")
def time_lapse(payload: Payload) -> Effect:
    """Make a hull's time-lapse, unless its photos changed again: then a later job does it."""
    hull, wanted = payload["hull"], payload["wanted"]
    if not TimeLapse.objects.filter(hull_id=hull, wanted=wanted).exists():
        return lambda: None
    photos = [photo for photo in in_sight(hull) if photo.state == PhotoState.READY]
    whole = _lapse(hull, photos)
    shared = _lapse(hull, [photo for photo in photos if photo.shared])
    return lambda: photo_work.show_time_lapse(hull_id=hull, wanted=wanted, whole=whole, shared=shared)


def _lapse(hull: int, photos: list[Photo]) -> str:
    frames = frames_of(photos)
    if len(frames) < FEWEST_FRAMES:
        return ""
    return keep_lapse(hull, lapse_apart(read(photo.name("small")) for photo in frames))


@job("photos")
def photos(payload: Payload) -> Effect:
    """Every night: files of photos that were struck leave the disk, and so does what was left lying."""
    now = timezone.now()
    leaving, lost = photo_work.due_to_leave(now), photo_work.given_up()
    photo_work.remove_files(leaving)
    photo_work.remove_left_lying(now)

    def effect() -> None:
        photo_work.forget(leaving)
        photo_work.give_up(lost)

    return effect


@job("audit")
def audit(payload: Payload) -> Effect:
    """Replay the log of every hull and compare.

    Raises
    ------
    AuditError
        At the first difference, in words.
    """
    first = next(differences(), None)
    if first is not None:
        raise AuditError(str(first))
    return lambda: None


@job("message")
def message(payload: Payload) -> Effect:
    """Send a letter of the out-tray that is due; its row says by itself what became of it."""
    post.deliver(message=payload["message"])
    return lambda: None


@job("plan")
def plan(payload: Payload) -> Effect:
    """Plan the shop anew, if it changed since the plan that holds; photos and letters that are due go first."""
    if due().exclude(name=JOB).exists():
        return ask_for_plan
    made = plan_again(now=timezone.now())

    def effect() -> None:
        if made:
            keep(made)

    return effect


@job("promise_alert")
def promise_alert(payload: Payload) -> Effect:
    """Write to the shop of promises that are in danger."""
    send_alert(dates=payload["dates"])
    return lambda: None


@job("letters")
def letters(payload: Payload) -> Effect:
    """Every night: note the week's letters that are due by tomorrow, and wake what was forgotten."""
    return lambda: messages.prepare_day(now=timezone.now())

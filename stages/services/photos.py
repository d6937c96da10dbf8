"""Photos: kept as they were sent, logged, and worked in the background; changed and struck."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import PurePath
from typing import BinaryIO
from uuid import uuid5

from django.db import transaction

from hulls.models import Photo, View
from hulls.photo_files import keep_sent, remove
from hulls.photos.errors import PhotoError
from hulls.photos.kinds import check_file
from hulls.wording import gettext_noop
from shop.jobs.enqueue import enqueue
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind
from stages.services.desk import Desk, telling
from stages.services.orders import Hand, Line, Outcome
from stages.services.photo_work import photos_changed
from stages.services.record import record
from stages.services.texts import checked_text

CAPTION_LENGTH = 200
MOST_AT_ONCE = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class NotKept:
    """A file that was not kept, by the name that the phone gave it, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What became of files that were sent together."""

    kept: tuple[Outcome, ...]
    refused: tuple[NotKept, ...]


def add_photos(
    *,
    hull_id: int,
    files: Iterable[BinaryIO],
    hand: Hand,
    caption: str = "",
    shared: bool = False,
    stage: str = "",
    view: str = "",
) -> Sent:
    """Keep photos that were sent together, a line in the log each; one that is refused holds up no other.

    Sent twice under the same number, each is kept once.

    Raises
    ------
    EngineError
        When what was written beside them cannot be.
    """
    kept, refused = [], []
    for n, file in enumerate(files):
        # Each photo has a number of its own that follows from the sender's: sent again, it is known again.
        own = replace(hand, client_id=uuid5(hand.client_id, str(n))) if n else hand
        try:
            check_photo(file)
        except EngineError as error:
            refused.append(NotKept(name=PurePath(str(getattr(file, "name", ""))).name, why=error.message))
            continue
        kept.append(
            add_photo(hull_id=hull_id, file=file, hand=own, caption=caption, shared=shared, stage=stage, view=view)
        )
    return Sent(kept=tuple(kept), refused=tuple(refused))


def check_photo(file: BinaryIO) -> None:
    """Refuse a file that is too large or no photo; nothing of it is decoded.

    Raises
    ------
    EngineError
        With the reason.
    """
    try:
        check_file(file, size=getattr(file, "size", None))
    except PhotoError as error:
        raise EngineError("images", error.message) from error


def add_photo(
    *,
    hull_id: int,
    file: BinaryIO,
    hand: Hand,
    caption: str = "",
    shared: bool = False,
    stage: str = "",
    view: str = "",
    signed_paper: bool = False,
) -> Outcome:
    """Keep a photo of a hull as it was sent, and log it; its copies are made in the background.

    Parameters
    ----------
    signed_paper : bool
        It shows what a boat's owner signed: for the finish record, and in no album.

    Raises
    ------
    EngineError
        When the file is no photo, or what was written beside it cannot be.
    """
    check_photo(file)
    caption, view = checked_text(caption, "caption", CAPTION_LENGTH, empty=True), checked_view(view)
    photo = Photo(
        hull_id=hull_id,
        caption=caption,
        shared=shared,
        stage=stage,
        view=view,
        taken_at=hand.at,
        signed_paper=signed_paper,
    )
    keep_sent(photo, file)  # outside the transaction, which must not wait for a disk or a bucket

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        photo.save()  # for its number, by which the line can be struck with it
        details = {"caption": caption, "shared": shared, "view": view, "photo": photo.pk}
        if signed_paper:
            details["signed_paper"] = True
        return telling(Line(kind=EntryKind.PHOTO, stage=stage, details=details))(desk)

    try:
        with transaction.atomic():
            outcome = record(hull_id=hull_id, hand=hand, plan=plan)
            stands = outcome.entry is not None and not outcome.repeated
            if stands:
                enqueue(name="work_photo", key=f"work_photo:{photo.pk}", payload={"photo": photo.pk})
    except BaseException:
        remove([photo.sent_name])
        raise
    if not stands:
        remove([photo.sent_name])
    return outcome


def change_photo(
    *, hull_id: int, photo: int, hand: Hand, caption: str = "", shared: bool = False, view: str = "", stage: str = ""
) -> Outcome:
    """Say anew what a photo shows, from where, at which step, and whether the boat's owner sees it.

    Raises
    ------
    EngineError
        When the hull has no such photo, or what was written cannot be.
    """
    caption, view = checked_text(caption, "caption", CAPTION_LENGTH, empty=True), checked_view(view)

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        found = Photo.objects.filter(pk=photo, hull_id=hull_id, struck_at=None, signed_paper=False).first()
        if found is None:
            raise EngineError("photo", gettext_noop("This hull has no such photo."))
        if (found.shared, found.view) != (shared, view):
            photos_changed(hull_id, hide=found.shared and not shared)
        found.caption, found.shared, found.view, found.stage = caption, shared, view, stage
        found.save(update_fields=["caption", "shared", "view", "stage"])
        details = {"caption": caption, "shared": shared, "view": view, "photo": photo, "changed": True}
        return telling(Line(kind=EntryKind.PHOTO, stage=stage, details=details))(desk)

    with transaction.atomic():
        return record(hull_id=hull_id, hand=hand, plan=plan)


def strike_photo(*, hull_id: int, photo: int, at: datetime) -> None:
    """Take a photo out of every page at once; its files go after the shop's period. Called where its line is struck."""
    if Photo.objects.filter(pk=photo, hull_id=hull_id, struck_at=None).update(struck_at=at, shared=False):
        photos_changed(hull_id, hide=True)


def checked_view(view: str) -> str:
    """A view that a photo can have.

    Raises
    ------
    EngineError
        When there is no such view.
    """
    if view not in View.values:
        raise EngineError("view", gettext_noop("Choose from where the photo looks at the boat."))
    return view

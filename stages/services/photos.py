"""Photos: cleaned of what the phone wrote into them, logged, and copied small in the background."""

import io
import warnings
from typing import BinaryIO

from django.core.files.base import ContentFile
from django.db import transaction
from PIL import Image, ImageOps, UnidentifiedImageError

from hulls.models import Photo
from shop.jobs.enqueue import enqueue
from stages.engine.errors import EngineError
from stages.engine.findings import Ask, gettext_noop
from stages.engine.log import EntryKind
from stages.services.desk import Desk, telling
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import record
from stages.services.texts import checked_text

LARGEST_BYTES = 20 * 1024 * 1024
LONGEST_SIDE = 2400
FORMATS = ("JPEG", "PNG", "WEBP")


def clean_photo(file: BinaryIO, *, longest_side: int = LONGEST_SIDE) -> bytes:
    """A photo as a JPEG the right way up, without place, time or device, and no larger than is useful.

    Raises
    ------
    EngineError
        When the file is too large, is no photo, or would unpack to something monstrous.
    """
    file.seek(0, io.SEEK_END)
    if file.tell() > LARGEST_BYTES:
        raise EngineError("image", gettext_noop("The photo is larger than 20 MB."))
    file.seek(0)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(file, formats=FORMATS) as image:
                image.draft("RGB", (longest_side, longest_side))
                image.thumbnail((longest_side, longest_side))
                upright = ImageOps.exif_transpose(image).convert("RGB")
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise EngineError("image", gettext_noop("The photo has more pixels than the shop can hold.")) from error
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as error:
        raise EngineError("image", gettext_noop("This file is no photo: send a JPEG, PNG or WebP.")) from error
    out = io.BytesIO()
    upright.info.clear()
    upright.save(out, "JPEG", quality=85)
    return out.getvalue()


def add_photo(
    *, hull_id: int, file: BinaryIO, hand: Hand, caption: str = "", shared: bool = False, stage: str = ""
) -> Outcome:
    """Keep a photo of a hull and log it; a small copy is made in the background."""
    caption = checked_text(caption, "caption", 200, empty=True)
    content = clean_photo(file)
    width, height = Image.open(io.BytesIO(content)).size
    photo = Photo(hull_id=hull_id, caption=caption, shared=shared, taken_at=hand.at, width=width, height=height)

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        photo.save()  # for its number, by which the line can be struck with it; its file comes once the line stands
        details = {"caption": caption, "shared": shared, "photo": photo.pk}
        return telling(Line(kind=EntryKind.PHOTO, stage=stage, details=details))(desk)

    with transaction.atomic():
        outcome = record(hull_id=hull_id, hand=hand, plan=plan)
        if outcome.entry is None or outcome.repeated:
            return outcome
        photo.image.save("photo.jpg", ContentFile(content))
        enqueue(name="small_photo", key=f"small_photo:{photo.pk}", payload={"photo": photo.pk})
    return outcome

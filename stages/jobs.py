"""Background work on hulls: small copies of photos, and the audit of every night."""

from io import BytesIO
from pathlib import PurePosixPath

from django.core.files.base import ContentFile

from hulls.models import Photo
from shop.jobs.registry import Effect, Payload, job
from stages.audit import differences
from stages.services.photos import clean_photo

SMALL_SIDE = 640


class AuditError(RuntimeError):
    """The tables do not equal the log; the job that found it is kept as failed, with the first difference."""


@job("small_photo")
def small_photo(payload: Payload) -> Effect:
    """Make the small copy of a photo, 640 pixels on its longer side; nothing for a photo that is gone.

    The copy's name is made of the photo's: done twice, it is written over, and no file is left lying about.
    """
    photo = Photo.objects.filter(pk=payload["photo"]).first()
    if photo is None:
        return lambda: None
    with photo.image.open("rb") as file:
        content = clean_photo(BytesIO(file.read()), longest_side=SMALL_SIDE)
    storage, path = photo.small.storage, PurePosixPath(photo.image.name or "")
    name = str(path.with_name(f"{path.stem}-small.jpg"))
    storage.delete(name)
    saved = storage.save(name, ContentFile(content))

    def effect() -> None:
        Photo.objects.filter(pk=photo.pk).update(small=saved)

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

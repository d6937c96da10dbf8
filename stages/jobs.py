"""Background work on hulls: small copies of photos."""

from io import BytesIO
from pathlib import PurePosixPath

from django.core.files.base import ContentFile

from hulls.models import Photo
from shop.jobs.registry import Effect, Payload, job
from stages.services.photos import clean_photo

SMALL_SIDE = 640


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

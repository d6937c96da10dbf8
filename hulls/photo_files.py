"""The files of photos: in a folder, or in a bucket of the S3 protocol, behind Django's storage interface."""

import base64
from collections.abc import Iterable
from typing import BinaryIO

from django.core.files import File
from django.core.files.base import ContentFile
from django.core.files.storage import Storage, storages

from hulls.models import Photo
from hulls.models.photos import new_stem
from hulls.photos.copies import SIDES, Copies


def photo_storage() -> Storage:
    """Where the files of photos lie."""
    return storages["photos"]


def keep_sent(photo: Photo, file: BinaryIO) -> None:
    """Keep a file as it was sent, until it is worked; no address leads to it."""
    photo_storage().save(photo.sent_name, File(file))


def read_sent(photo: Photo) -> bytes:
    """A file as it was sent.

    Raises
    ------
    FileNotFoundError
        When it is not there.
    """
    return read(photo.sent_name)


def keep_copies(photo: Photo, copies: Copies) -> None:
    """Keep the copies of a photo; done twice, they are written over."""
    for size, content in copies.by_size.items():
        photo_storage().save(photo.name(size), ContentFile(content))


def keep_lapse(hull_id: int, content: bytes) -> str:
    """Keep a time-lapse, and give its name; the one before it stays until nobody is led to it."""
    return photo_storage().save(f"photos/{hull_id}/{new_stem()}-lapse.webp", ContentFile(content))


def in_page(tiny: bytes) -> str:
    """The smallest copy as an address that holds it."""
    return "data:image/webp;base64," + base64.b64encode(tiny).decode()


def read(name: str) -> bytes:
    """What a file holds.

    Raises
    ------
    FileNotFoundError
        When it is not there.
    """
    with photo_storage().open(name, "rb") as file:
        content: bytes = file.read()
    return content


def remove(names: Iterable[str]) -> None:
    """Remove files; one that is not there is no matter."""
    for name in names:
        if name:
            photo_storage().delete(name)


def names_of(photo: Photo) -> list[str]:
    """The names of all files that a photo may have."""
    return [photo.sent_name, *(photo.name(size) for size in SIDES)]

"""What a file is, by its first bytes; neither its name nor what the browser says of it counts."""

import io
from typing import BinaryIO, Final

from hulls.photos.errors import EMPTY, NO_PHOTO, TOO_LARGE, PhotoError

LARGEST_BYTES: Final = 40 * 1024 * 1024
HEAD_BYTES: Final = 64
HEIF_BRANDS: Final = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"mif2"})
AVIF_BRANDS: Final = frozenset({b"avif", b"avis"})


def kind_of(head: bytes) -> str | None:
    """The kind of a photo's file, as Pillow names it; None for any other file.

    Parameters
    ----------
    head : bytes
        Its first 64 bytes.

    Notes
    -----
    JPEG: SOI and the next marker (ITU-T T.81, B.1.1.3). PNG: its signature (W3C PNG, 5.2). WebP: RIFF container
    (RFC 9649, 2.4). HEIF and AVIF: brands of the file type box (ISO/IEC 14496-12, 4.3; ISO/IEC 23008-12, 10).
    """
    if head[:3] == b"\xff\xd8\xff":
        return "JPEG"
    if head[:8] == b"\x89PNG\r\n\x1a\n":
        return "PNG"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WEBP"
    if head[4:8] == b"ftyp":
        return _kind_by_brands(head[8:12], {head[at : at + 4] for at in range(16, min(_box(head), len(head)), 4)})
    return None


def _box(head: bytes) -> int:
    return int.from_bytes(head[:4], "big")


def _kind_by_brands(major: bytes, compatible: set[bytes]) -> str | None:
    if major in AVIF_BRANDS or (major not in HEIF_BRANDS and compatible & AVIF_BRANDS):
        return "AVIF"
    if major in (b"mif1", b"mif2", b"msf1") and compatible & AVIF_BRANDS:
        return "AVIF"
    return "HEIF" if major in HEIF_BRANDS or compatible & HEIF_BRANDS else None


def check_file(file: BinaryIO, *, size: int | None = None) -> str:
    """The kind of a photo's file; nothing of it is decoded.

    Parameters
    ----------
    file : binary file
        Left at its beginning.
    size : int, optional
        Bytes that were sent, where the file holds fewer of them.

    Raises
    ------
    PhotoError
        When it is empty, larger than 40 MB, or no photo.
    """
    held = file.seek(0, io.SEEK_END)
    if max(held, size or 0) > LARGEST_BYTES:
        raise PhotoError(TOO_LARGE)
    if not held:
        raise PhotoError(EMPTY)
    file.seek(0)
    kind = kind_of(file.read(HEAD_BYTES))
    file.seek(0)
    if kind is None:
        raise PhotoError(NO_PHOTO)
    return kind

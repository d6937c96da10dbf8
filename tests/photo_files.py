"""Files as phones and strangers send them."""

import io
import struct
import zlib

from PIL import Image, ImageCms

BROWN = (192, 138, 85)


def a_picture(width: int = 400, height: int = 300, mode: str = "RGB") -> Image.Image:
    """A picture that is lighter at its upper left, so that a turn shows."""
    image = Image.new("RGB", (width, height), BROWN)
    image.paste((250, 240, 220), (0, 0, width // 2, height // 2))
    return image.convert(mode)


def a_file(kind: str = "JPEG", image: Image.Image | None = None, **options: object) -> bytes:
    """A picture in a format of Pillow's."""
    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    out = io.BytesIO()
    (image or a_picture()).save(out, kind, **options)
    return out.getvalue()


def exif(*, turned: int = 1, width: int | None = None) -> Image.Exif:
    """What a phone writes: its make, the turn, the place, and perhaps a width that is a lie (Exif 3.0, 4.6)."""
    data = Image.Exif()
    data[0x010F] = "Phone maker"
    data[0x0112] = turned
    if width is not None:
        data.get_ifd(0x8769)[0xA002] = width
    data.get_ifd(0x8825)[1] = "N"
    data.get_ifd(0x8825)[2] = (45.0, 30.0, 15.0)
    return data


def a_phone_s_jpeg(*, turned: int = 1, width: int | None = None) -> bytes:
    """A JPEG with a place, a maker, a comment and a colour profile written into it."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>secret place</x:xmpmeta>"
    return a_file("JPEG", exif=exif(turned=turned, width=width), icc_profile=profile, comment=b"a comment", xmp=xmp)


def chunk(kind: bytes, content: bytes) -> bytes:
    """One chunk of a PNG (W3C PNG, 5.3)."""
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def a_png_bomb(side: int = 30_000) -> bytes:
    """A PNG of a few kilobytes that claims, and holds, nine hundred million pixels of black."""
    header = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    squeeze = zlib.compressobj(9)
    row = b"\0" * (side // 8 + 1)
    packed = b"".join(squeeze.compress(row) for _ in range(side)) + squeeze.flush()
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")

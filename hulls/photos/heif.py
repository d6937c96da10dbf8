"""A HEIC photo decoded in bounded memory: its pixels are never held whole a second time.

What decodes it gives every pixel at once, 146 MB of 48 million; as an image of Pillow's they would be 195 MB more. So
they are made smaller band by band, by whole factors, before there is an image.
"""

from typing import BinaryIO, Final

from PIL import Image

from hulls.photos.errors import NO_PHOTO, TOO_MANY_PIXELS, PhotoError

BAND: Final = 256  # rows of the smaller image that are made at a time
GAP: Final = 2  # at least so many times larger than asked for: what comes after makes it smooth


def open_heif_photo(file: BinaryIO, longest: int, most_pixels: int) -> Image.Image:
    """A photo turned as its boxes say; its longer side has at least twice ``longest`` pixels, if it had them.

    Parameters
    ----------
    file : binary file
        HEIF (ISO/IEC 23008-12).
    longest : int
        Pixels of the longer side that will be asked of the image.
    most_pixels : int
        Larger photos are refused before they are decoded.

    Raises
    ------
    PhotoError
        When it is no photo, or has too many pixels.
    RuntimeError
        When the decoder fails.
    """
    import pillow_heif  # loads 30 MB of libraries that most photos do without

    pillow_heif.options.THUMBNAILS = False
    try:
        held = pillow_heif.open_heif(file)
        width, height = held.size
    except (ValueError, SyntaxError, RuntimeError, OSError, EOFError, IndexError) as error:
        raise PhotoError(NO_PHOTO) from error
    if width * height > most_pixels:
        raise PhotoError(TOO_MANY_PIXELS)
    data = held.data
    factor = max(1, max(held.size) // (GAP * longest))
    image = _reduced(data, held.size, held.mode, held.stride, factor)
    image.info["icc_profile"] = held.info.get("icc_profile")
    return image


def _reduced(data: memoryview, size: tuple[int, int], mode: str, stride: int, factor: int) -> Image.Image:
    """The pixels as an image, smaller by a whole factor; means over squares of that side."""
    width, height = size
    image = Image.new(mode, (-(-width // factor), -(-height // factor)))
    for top in range(0, height, BAND * factor):
        rows = min(BAND * factor, height - top)
        pixels = bytes(data[top * stride : (top + rows) * stride])
        band = Image.frombytes(mode, (width, rows), pixels, "raw", mode, stride)
        image.paste(band.reduce(factor), (0, top // factor))
    return image

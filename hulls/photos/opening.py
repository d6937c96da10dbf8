"""One photo opened: decoded once and no larger than is useful, upright, in sRGB, with nothing hidden in it."""

import io
import warnings
from contextlib import suppress
from typing import BinaryIO, Final

from PIL import Image, ImageCms, ImageFile, ImageOps

from hulls.photos.errors import BROKEN, CUT_OFF, TOO_HEAVY, TOO_MANY_PIXELS, PhotoError
from hulls.photos.heif import open_heif_photo
from hulls.photos.kinds import check_file

MOST_PIXELS: Final = 60_000_000  # phones take 12 to 50 million
BEHIND: Final = "#ffffff"  # what shows through where a picture is transparent


def open_photo(file: BinaryIO, longest: int) -> Image.Image:
    """A photo as plain RGB pixels, its longer side at most ``longest`` pixels.

    Raises
    ------
    PhotoError
        When it is no photo, has too many pixels, is cut off or damaged, or needs more memory than there is.
    """
    kind = check_file(file)
    ImageFile.LOAD_TRUNCATED_IMAGES = False  # libraries that print tell Pillow to make up what is missing
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the bound on pixels is ours
            with _opened(file, kind, longest) as image:
                return _plain(image, longest)
    except PhotoError:
        raise
    except MemoryError as error:
        raise PhotoError(TOO_HEAVY) from error
    except Image.DecompressionBombError as error:
        raise PhotoError(TOO_MANY_PIXELS) from error
    except Exception as error:  # decoders fail in every way there is
        raise PhotoError(_why(str(error).lower())) from error


def _opened(file: BinaryIO, kind: str, longest: int) -> Image.Image:
    return open_heif_photo(file, longest, MOST_PIXELS) if kind == "HEIF" else Image.open(file, formats=[kind])


def _why(words: str) -> str:
    """What to say of a decoder's own words."""
    if "allocat" in words:
        return TOO_HEAVY
    return CUT_OFF if "truncated" in words else BROKEN


def _plain(image: Image.Image, longest: int) -> Image.Image:
    width, height = image.size
    if width * height > MOST_PIXELS:
        raise PhotoError(TOO_MANY_PIXELS)
    # A JPEG is decoded at a half, a quarter or an eighth where that is enough. The photo's own aspect has to be asked
    # for: asked for a square, the shorter side decides.
    share = longest / max(width, height)
    image.draft("RGB", (max(1, round(width * share)), max(1, round(height * share))))
    profile = image.info.get("icc_profile")
    image.thumbnail((longest, longest))
    return _bare(_in_srgb(_eight_bits(_upright(image)), profile))


def _upright(image: Image.Image) -> Image.Image:
    with suppress(Exception):  # a lie in the EXIF data costs the photo its turn, not its place
        return ImageOps.exif_transpose(image)
    return image


def _eight_bits(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I"):  # 16 bits of grey; convert() would cut them off at 255
        return image.convert("I").point(lambda value: value / 256).convert("L")
    if image.mode in ("P", "PA", "La", "RGBa"):
        image = image.convert("RGBA")
    if image.mode in ("LA", "RGBA"):
        opaque = Image.new("RGBA", image.size, BEHIND)
        opaque.alpha_composite(image.convert("RGBA"))
        return opaque.convert("RGB")
    return image


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """The pixels in sRGB, converted by the photo's own profile where that is another one and can be read."""
    if profile:
        with suppress(ImageCms.PyCMSError, OSError, ValueError, TypeError):
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            if "srgb" not in ImageCms.getProfileDescription(own).lower():
                into = ImageCms.profileToProfile(image, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
                return into or image.convert("RGB")
    return image.convert("RGB")


def _bare(image: Image.Image) -> Image.Image:
    """A picture of the pixels alone: encoders write what they find in ``info``."""
    image.info = {}
    image.getexif().clear()
    return image

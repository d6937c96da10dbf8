"""Painted stand-ins for the photos that a shop takes, so that the demo's pages have some."""

import io
import random
from datetime import timedelta
from typing import TYPE_CHECKING

from django.db.models import Max
from PIL import Image, ImageDraw, ImageFilter

from hulls.models import Hull, Photo
from hulls.photo_files import keep_copies
from hulls.photos.copies import make_copies
from stages.models import Entry
from stages.services.orders import Hand
from stages.services.photo_work import show_photo
from stages.services.photos import add_photo

if TYPE_CHECKING:
    from stages.demo.driver import Driver

SIZE = (960, 720)
SHOWN = (  # tag, caption, what is painted, the stage whose last line in the log it was taken after, and the view
    ("H-097", "New ribs in, clenched and faired", "ribs", "ribs", "inside"),
    ("H-097", "Canvas stretched and tacked", "canvas", "canvas", "port"),
    ("H-097", "The colour goes on", "enamel", "enamel", "port"),
    ("H-092", "As it came in", "old", "survey", "port"),
    ("H-092", "As it came in", "ribs", "survey", "inside"),
    ("H-109", "Ribs out at the bow", "ribs", "ribs", "inside"),
)
SHORTLY = timedelta(minutes=5)


def show_photos(driver: "Driver", hulls: dict[str, Hull]) -> None:
    """Add the demo's photos, the boat owner's among them."""
    dice = random.Random(3)
    for tag, caption, kind, stage, view in SHOWN:
        seen = Entry.objects.filter(hull=hulls[tag], stage=stage).aggregate(last=Max("at"))["last"]
        if seen is None:  # the work is not that far in this week's weather
            continue
        painted = paint(kind, hulls[tag].old_colour if kind == "old" else hulls[tag].colour, dice)
        hang(painted, hulls[tag], driver.hand(min(driver.now, seen + SHORTLY)), caption=caption, stage=stage, view=view)


def hang(painted: bytes, hull: Hull, hand: Hand, *, stage: str, view: str, caption: str = "") -> None:
    """Add a painting as a photo that the boat's owner sees."""
    file = io.BytesIO(painted)
    added = add_photo(hull_id=hull.pk, file=file, hand=hand, caption=caption, shared=True, stage=stage, view=view)
    if added.entry is not None:
        photo = Photo.objects.get(pk=added.entry.details["photo"])
        copies = make_copies(file)  # here and now: the demo's pages have them before there is a worker
        keep_copies(photo, copies)
        show_photo(photo, copies)


def paint(kind: str, colour: str, dice: random.Random) -> bytes:
    """A small painting of ribs, of canvas, or of a painted side, as a JPEG."""
    ground = {"ribs": "#b98452", "canvas": "#e4d9bd"}.get(kind, colour)
    image = Image.new("RGB", SIZE, ground)
    draw = ImageDraw.Draw(image, "RGBA")
    for y in range(0, SIZE[1], 48 if kind == "ribs" else 6):
        shade = dice.randrange(-18, 18)
        draw.rectangle((0, y, SIZE[0], y + 46), fill=(90 + shade, 60 + shade, 30 + shade, 40 if kind == "ribs" else 12))
    if kind == "ribs":
        for x in range(40, SIZE[0], 130):
            draw.rectangle((x, 0, x + 52, SIZE[1]), fill=(140, 92, 52, 235))
            for y in range(24, SIZE[1], 48):
                draw.ellipse((x + 20, y - 4, x + 28, y + 4), fill=(214, 178, 92, 255))
    else:
        draw.ellipse((-400, -620, SIZE[0] + 200, 260), fill=(255, 255, 255, 46))
        draw.rectangle((0, 590, SIZE[0], 640), fill=(122, 79, 42, 255))
        for x in range(30, SIZE[0], 60):
            draw.ellipse((x, 606, x + 9, 615), fill=(214, 178, 92, 255))
    out = io.BytesIO()
    image.filter(ImageFilter.GaussianBlur(1.2)).save(out, "JPEG", quality=82)
    return out.getvalue()

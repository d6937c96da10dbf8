"""A letter's words laid out as text and as HTML."""

from dataclasses import dataclass

from django.template.loader import render_to_string

from shop.mail.mime import one_line
from shop.models import Shop
from stages.letters import mark
from stages.letters.words import Words

LONGEST_SUBJECT = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A letter laid out, its secret addresses and photos still marks."""

    subject: str
    text: str
    html: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A photo as the HTML shows it: where it is, what is on it, and how large."""

    src: str
    alt: str
    width: int
    height: int


def written(words: Words, shop: Shop, boat: str) -> Written:
    """Lay a letter out."""
    page = {"words": words, "shop": shop, "boat": boat, "page": mark.PAGE, "stop": mark.STOP}
    subject = one_line(words.subject)
    if len(subject) > LONGEST_SUBJECT:
        subject = subject[: LONGEST_SUBJECT - 1] + "…"
    return Written(
        subject=subject,
        text=render_to_string("letters/letter.txt", page),
        html=render_to_string("letters/letter.html", {**page, "photos": mark.PHOTOS}),
    )


def photos_block(photos: list[Beside]) -> str:
    """The photos as they come into the HTML; nothing where there are none."""
    return render_to_string("letters/photos.html", {"photos": photos}) if photos else ""

"""A boat owner's link, as tests follow it."""

import io

from PIL import Image

from hulls.models import Hull, Photo
from stages.services.links import renew_link
from stages.services.photos import add_photo
from tests.answers import Answer
from tests.factories import hand

NEVER_MADE = "AAAAAAAAAAAAAAAAAAAAAA"  # a token as they are made, and one that never was


def link_to(hull: Hull) -> str:
    token = renew_link(hull_id=hull.pk, hand=hand())
    assert token is not None
    return f"/p/{token}/"


def a_photo(hull: Hull, caption: str, *, shared: bool = True) -> Photo:
    file = io.BytesIO()
    Image.new("RGB", (40, 30), "#c08a55").save(file, "JPEG")
    assert add_photo(hull_id=hull.pk, file=file, hand=hand(), caption=caption, shared=shared).done
    return Photo.objects.get(hull=hull, caption=caption)


def without_date(response: Answer) -> tuple[int, bytes, dict[str, str]]:
    return response.status_code, response.content, dict(response.headers)

"""Photos of a boat."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull


def photo_path(photo: "Photo", filename: str) -> str:
    """Where a photo's file lies; nothing of the name that the phone gave survives."""
    return f"photos/{photo.hull_id}/{uuid.uuid4().hex}.jpg"


class Photo(models.Model):
    """One photo, cleaned of what the phone wrote into it, with a small copy made in the background."""

    hull = models.ForeignKey(Hull, models.CASCADE, related_name="photos", verbose_name=_("hull"))
    image = models.ImageField(_("photo"), upload_to=photo_path)
    small = models.ImageField(_("small copy"), upload_to=photo_path, blank=True)
    width = models.PositiveIntegerField(default=0, editable=False)
    height = models.PositiveIntegerField(default=0, editable=False)
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    shared = models.BooleanField(_("shown to the boat's owner"), default=False)
    taken_at = models.DateTimeField(_("taken"))

    class Meta:
        verbose_name = _("photo")
        verbose_name_plural = _("photos")
        ordering = ["-taken_at", "-pk"]

    def __str__(self) -> str:
        return self.caption or f"{self.hull_id} {self.taken_at:%Y-%m-%d}"

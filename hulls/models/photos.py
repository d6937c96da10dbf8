"""Photos of a boat, and the time-lapse made of them."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull
from shop.models import View as View


class PhotoState(models.TextChoices):
    """How far the work on a photo's file is."""

    WAITING = "waiting", _("being worked on")
    READY = "ready", _("ready")
    REFUSED = "refused", _("refused")
    GONE = "gone", _("off the disk")


def new_stem() -> str:
    """A name for a photo's files; nothing of the name that the phone gave survives in it."""
    return uuid.uuid4().hex


class Photo(models.Model):
    """One photo of a boat.

    What was sent lies under ``sent_name`` until it is worked, and is then removed: kept are copies of its pixels
    alone. A photo whose line in the log was struck has ``struck_at``; nothing shows it any more, and after the shop's
    period its files go too.
    """

    hull = models.ForeignKey(Hull, models.CASCADE, related_name="photos", verbose_name=_("hull"))
    stage = models.CharField(_("step"), max_length=40, blank=True)
    view = models.CharField(_("view"), max_length=10, choices=View, default=View.NONE, blank=True)
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    shared = models.BooleanField(_("shown to the boat's owner"), default=False)
    taken_at = models.DateTimeField(_("taken"))
    state = models.CharField(_("state"), max_length=8, choices=PhotoState, default=PhotoState.WAITING)
    refusal = models.CharField(_("why it was refused"), max_length=200, blank=True)
    stem = models.CharField(max_length=32, default=new_stem, unique=True, editable=False)
    width = models.PositiveIntegerField(default=0, editable=False)
    height = models.PositiveIntegerField(default=0, editable=False)
    tiny = models.TextField(default="", editable=False)
    struck_at = models.DateTimeField(_("struck"), null=True, blank=True)
    # The paper that a boat's owner signed at the hand-over: with the finish record, and in no album.
    signed_paper = models.BooleanField(_("signed paper"), default=False, editable=False)

    class Meta:
        verbose_name = _("photo")
        verbose_name_plural = _("photos")
        ordering = ["-taken_at", "-pk"]

    def __str__(self) -> str:
        return self.caption or f"{self.hull_id} {self.taken_at:%Y-%m-%d}"

    @property
    def sent_name(self) -> str:
        """Where the file lies as it was sent, until it is worked."""
        return f"sent/{self.stem}"

    def name(self, size: str) -> str:
        """Where a copy lies."""
        return f"photos/{self.hull_id}/{self.stem}-{size}.webp"


class TimeLapse(models.Model):
    """The time-lapse of a boat: one of all its photos, one of those that its owner may see.

    ``wanted`` counts the changes of its photos, so that of several in a row only the last has it made anew.
    """

    hull = models.OneToOneField(Hull, models.CASCADE, related_name="time_lapse", verbose_name=_("hull"))
    wanted = models.PositiveIntegerField(_("changes"), default=0)
    whole = models.CharField(_("of all photos"), max_length=120, blank=True)
    shared = models.CharField(_("of the shared photos"), max_length=120, blank=True)

    class Meta:
        verbose_name = _("time-lapse")
        verbose_name_plural = _("time-lapses")

    def __str__(self) -> str:
        return f"{self.hull_id} {self.wanted}"

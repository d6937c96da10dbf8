"""The log: append-only lines, each sealed onto the one before it."""

from typing import Any, NoReturn

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models import Hull


class EntryKind(models.TextChoices):
    """What an entry tells."""

    ARRIVED = "arrived", _("arrived")
    SURVEY = "survey", _("survey")
    FOUND = "found", _("found on the way")
    STARTED = "started", _("started")
    COAT = "coat", _("coat")
    SANDED = "sanded", _("sanded")
    FINISHED = "finished", _("finished")
    MOVED = "moved", _("moved")
    MOISTURE = "moisture", _("wood moisture")
    LEAD_TEST = "lead_test", _("lead test")
    SEEN = "seen", _("dryness tried")
    RAGS = "rags", _("rags dealt with")
    LEFT_OUT = "left_out", _("left out")
    PUT_BACK = "put_back", _("put back")
    NOTE = "note", _("note")
    PHOTO = "photo", _("photo")
    LINK = "link", _("progress link")
    ESTIMATE = "estimate", _("estimate")
    STRIKE = "strike", _("struck")


class AppendOnlyError(TypeError):
    """Somebody tried to change or delete a line of the log."""


class EntryQuerySet(models.QuerySet["Entry"]):
    """Reads and appends; nothing else."""

    def update(self, **kwargs: Any) -> NoReturn:
        """Refuse: lines of the log are struck, not changed."""
        raise AppendOnlyError("The log is append-only: strike the entry instead.")

    def delete(self) -> NoReturn:
        """Refuse: lines of the log are struck, not deleted."""
        raise AppendOnlyError("The log is append-only: strike the entry instead.")


class Entry(models.Model):
    """One line of a hull's log.

    ``client_id`` is made by whoever sends it: the same twice is one entry. ``number`` counts the hull's lines from 1.
    ``seal`` is a digest of this line and the seal before it, so that an audit sees any change from outside.
    """

    client_id = models.UUIDField(_("sender's number"), unique=True)
    hull = models.ForeignKey(Hull, models.PROTECT, related_name="entries", verbose_name=_("hull"))
    number = models.PositiveIntegerField(_("line"))
    kind = models.CharField(_("kind"), max_length=10, choices=EntryKind)
    stage = models.CharField(_("stage"), max_length=40, blank=True)
    at = models.DateTimeField(_("happened"))
    recorded_at = models.DateTimeField(_("recorded"))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, verbose_name=_("by"))
    details = models.JSONField(_("details"), default=dict, encoder=DjangoJSONEncoder)
    seal = models.CharField(_("seal"), max_length=64)

    objects = EntryQuerySet.as_manager()

    class Meta:
        verbose_name = _("entry")
        verbose_name_plural = _("log")
        ordering = ["hull", "number"]
        constraints = [models.UniqueConstraint(fields=["hull", "number"], name="one_entry_a_hull_and_line")]
        indexes = [models.Index(fields=["at"], name="dryness_tried", condition=models.Q(kind=EntryKind.SEEN))]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.number} {self.kind}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Append the line; refuse to change one."""
        if not self._state.adding:
            raise AppendOnlyError("The log is append-only: strike the entry instead.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise AppendOnlyError("The log is append-only: strike the entry instead.")

"""The finish record of a boat: what lies on it and how it came there, as it stood when the boat was handed over."""

from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from hulls.estimate import digest
from hulls.models.estimates import FrozenError
from hulls.models.hulls import Hull


class FinishRecord(models.Model):
    """A finish record as it was given. ``body`` never changes: ``digest`` is over it.

    ``line`` is the line of the hull's log that it was frozen with. Where a line is struck after the hand-over, the
    record is withdrawn, and the next version takes its place; one boat has one record that stands.
    """

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="finish_records", verbose_name=_("hull"))
    version = models.PositiveSmallIntegerField(_("version"))
    line = models.PositiveIntegerField(_("line of the log"))
    body = models.JSONField(_("what it holds"), encoder=DjangoJSONEncoder)
    digest = models.CharField(_("digest"), max_length=64)
    made_at = models.DateTimeField(_("made"))
    withdrawn_at = models.DateTimeField(_("withdrawn"), null=True)

    class Meta:
        verbose_name = _("finish record")
        verbose_name_plural = _("finish records")
        ordering = ["hull", "version"]
        constraints = [
            models.UniqueConstraint(fields=["hull", "version"], name="one_finish_record_a_hull_and_version"),
            models.UniqueConstraint(
                fields=["hull"], condition=Q(withdrawn_at__isnull=True), name="one_finish_record_that_stands"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.version}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add it, or write that it was withdrawn; refuse to change anything else."""
        changed = kwargs.get("update_fields")
        if not self._state.adding and (changed is None or set(changed) != {"withdrawn_at"}):
            raise FrozenError("A finish record is withdrawn, not changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse: it is kept for when the boat comes back."""
        raise FrozenError("A finish record is withdrawn, not deleted.")

    @property
    def holds(self) -> bool:
        """Whether it still is what was given."""
        return self.digest == digest(self.body)

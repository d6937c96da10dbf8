"""Work to be done in the background, written down before it is done."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Job(models.Model):
    """One piece of background work: this row is the truth, the Celery message only a hint that it is here.

    A worker claims it by writing its token and a lease; only the holder of the token may end it. A worker that dies
    leaves the lease to run out, after which the job is due again.
    """

    class State(models.TextChoices):
        """Where the job stands."""

        WAITING = "waiting", _("waiting")
        CLAIMED = "claimed", _("in hand")
        DONE = "done", _("done")
        FAILED = "failed", _("failed for good")

    key = models.CharField(_("key"), max_length=200, unique=True, help_text=_("The same key twice is one job."))
    name = models.CharField(_("name"), max_length=80)
    payload = models.JSONField(_("payload"), default=dict, blank=True)
    state = models.CharField(_("state"), max_length=10, choices=State, default=State.WAITING)
    attempts = models.PositiveSmallIntegerField(_("attempts"), default=0)
    due_at = models.DateTimeField(_("due"))
    token = models.UUIDField(_("token"), null=True, blank=True)
    lease_until = models.DateTimeField(_("leased until"), null=True, blank=True)
    error = models.TextField(_("last error"), blank=True)
    created_at = models.DateTimeField(_("written down"), auto_now_add=True)
    done_at = models.DateTimeField(_("done"), null=True, blank=True)

    class Meta:
        verbose_name = _("job")
        verbose_name_plural = _("jobs")
        ordering = ["-created_at"]
        indexes = [
            models.Index("due_at", name="job_waiting", condition=models.Q(state="waiting")),
            models.Index("lease_until", name="job_claimed", condition=models.Q(state="claimed")),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.key}"

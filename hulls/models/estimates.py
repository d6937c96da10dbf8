"""What an owner is asked to agree to: estimates and change orders, each version kept as it was sent."""

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from hulls.estimate import Estimate as Sums
from hulls.estimate import digest, read
from hulls.models.hulls import Hull

COLUMNS = ("subtotal", "total", "deposit")  # of the sums: tables are added up by them


class EstimateKind(models.TextChoices):
    """What is asked: the job itself, or what comes on top of it."""

    ESTIMATE = "estimate", _("estimate")
    CHANGE_ORDER = "change", _("change order")


class Answer(models.TextChoices):
    """What became of one that was sent."""

    OPEN = "", _("waits for the owner")
    APPROVED = "approved", _("approved")
    DECLINED = "declined", _("declined")
    WITHDRAWN = "withdrawn", _("withdrawn")
    REPLACED = "replaced", _("replaced by a later version")


class FrozenError(TypeError):
    """Somebody tried to change what was sent."""


class EstimateQuerySet(models.QuerySet["Estimate"]):
    """Estimates by how they stand."""

    def agreed(self) -> "EstimateQuerySet":
        """Those that an owner approved: what a hull's invoice is held against."""
        return self.filter(answer=Answer.APPROVED)

    def waiting(self) -> "EstimateQuerySet":
        """Those that were sent and have no answer yet."""
        return self.filter(answer=Answer.OPEN, sent_at__isnull=False)


class Estimate(models.Model):
    """One version of an estimate or change order.

    A draft has no number. Sent, it has one, counted without gaps over the shop by kind, and from then on ``body`` (the
    lines with what each came from, see `hulls.estimate.frozen`) never changes: ``digest`` is over `sealed`, and the
    hull's log holds it too. ``asked`` is what was typed for it. The answer is a copy of the log's.
    """

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="estimates", verbose_name=_("hull"))
    kind = models.CharField(_("kind"), max_length=8, choices=EstimateKind, default=EstimateKind.ESTIMATE)
    number = models.PositiveIntegerField(_("number"), null=True)
    version = models.PositiveSmallIntegerField(_("version"), default=1)
    label = models.CharField(_("called"), max_length=24, blank=True)
    asked = models.JSONField(_("what was typed"), default=dict, encoder=DjangoJSONEncoder)
    body = models.JSONField(_("lines and sums"), default=dict, encoder=DjangoJSONEncoder)
    words = models.TextField(_("in words"), max_length=4000, blank=True)
    stages = models.JSONField(_("steps that wait for it"), default=list)
    find = models.PositiveIntegerField(_("line of the log that it comes from"), null=True)
    currency = models.CharField(_("currency"), max_length=3)
    subtotal = models.DecimalField(_("before tax"), max_digits=14, decimal_places=4)
    total = models.DecimalField(_("total"), max_digits=14, decimal_places=4)
    deposit = models.DecimalField(_("deposit"), max_digits=14, decimal_places=4)
    digest = models.CharField(_("digest"), max_length=64, blank=True)
    made_at = models.DateTimeField(_("made"))
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("made by"))
    sent_at = models.DateTimeField(_("sent"), null=True)
    valid_until = models.DateField(_("valid until"), null=True)
    answer = models.CharField(_("answer"), max_length=10, choices=Answer, default=Answer.OPEN, blank=True)
    answered_at = models.DateTimeField(_("answered"), null=True)
    answered_by = models.CharField(_("answered by"), max_length=80, blank=True)

    objects = EstimateQuerySet.as_manager()

    class Meta:
        verbose_name = _("estimate")
        verbose_name_plural = _("estimates")
        ordering = ["hull", "made_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "number", "version"], name="one_estimate_a_number_and_version"),
            models.UniqueConstraint(
                fields=["hull", "kind"], condition=Q(sent_at__isnull=True), name="one_draft_a_hull_and_kind"
            ),
            models.UniqueConstraint(
                fields=["hull"],
                condition=Q(kind=EstimateKind.ESTIMATE, answer=Answer.APPROVED),
                name="one_approved_estimate_a_hull",
            ),
            models.CheckConstraint(
                condition=Q(sent_at__isnull=True) | (Q(number__isnull=False) & ~Q(digest="")),
                name="sent_has_number_and_digest",
            ),
            models.CheckConstraint(condition=Q(total__gte=0, deposit__lte=F("total")), name="estimate_not_below_zero"),
        ]

    def __str__(self) -> str:
        return f"{self.label} ({self.version})" if self.label else str(self.get_kind_display())

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse, once it was sent: a number would be missing."""
        if self.sent_at is not None:
            raise FrozenError("An estimate that was sent is withdrawn, not deleted.")
        return super().delete(*args, **kwargs)

    @property
    def sums(self) -> Sums:
        """The lines and sums as the pure core reads them.

        Raises
        ------
        EstimateError
            When the row was changed so that they no longer add up.
        """
        return read(self.body)

    @property
    def sealed(self) -> dict[str, Any]:
        """Everything that whoever approves agrees to."""
        return {
            "label": self.label,
            "version": self.version,
            "kind": str(self.kind),
            "hull": self.hull_id,
            "words": self.words,
            "stages": list(self.stages),
            "valid_until": self.valid_until.isoformat() if self.valid_until else None,
            "body": self.body,
        }

    @property
    def holds(self) -> bool:
        """Whether it still is what was sent, its columns that sums are read from included."""
        return self.digest == digest(self.sealed) and all(
            Decimal(self.body[name]) == getattr(self, name) for name in COLUMNS
        )

    @property
    def is_open(self) -> bool:
        """Whether it was sent and has no answer yet."""
        return self.sent_at is not None and self.answer == Answer.OPEN

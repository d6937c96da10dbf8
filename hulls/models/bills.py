"""What came in and what was billed: rows are added and never edited; a payment is struck, an invoice is credited."""

from typing import Any

from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from hulls.estimate import digest
from hulls.models.estimates import FrozenError
from hulls.models.hulls import Hull

STRUCK = frozenset({"struck_at", "struck_by", "struck_because"})


class PaymentKind(models.TextChoices):
    """What a sum was for."""

    DEPOSIT = "deposit", _("deposit")
    PAYMENT = "payment", _("payment")
    REFUND = "refund", _("refund")


class PaidBy(models.TextChoices):
    """How a sum changed hands."""

    CASH = "cash", _("cash")
    TRANSFER = "transfer", _("transfer")
    CHEQUE = "cheque", _("cheque")
    CARD = "card", _("card")


class PaymentQuerySet(models.QuerySet["Payment"]):
    """Payments by how they stand."""

    def standing(self) -> "PaymentQuerySet":
        """Those that were not struck."""
        return self.filter(struck_at__isnull=True)


class Payment(models.Model):
    """A sum that a boat's owner paid or got back. It is never edited: a wrong one is struck with a reason."""

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="payments", verbose_name=_("hull"))
    client_id = models.UUIDField(_("sender's number"), unique=True)
    kind = models.CharField(_("kind"), max_length=8, choices=PaymentKind)
    amount = models.DecimalField(_("amount"), max_digits=14, decimal_places=4)
    currency = models.CharField(_("currency"), max_length=3)
    paid_on = models.DateField(_("paid on"))
    how = models.CharField(_("how"), max_length=8, choices=PaidBy)
    reference = models.CharField(_("reference"), max_length=80, blank=True)
    recorded_at = models.DateTimeField(_("recorded"))
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("by"))
    digest = models.CharField(_("digest"), max_length=64)
    struck_at = models.DateTimeField(_("struck"), null=True)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("struck by"), null=True
    )
    struck_because = models.CharField(_("struck because"), max_length=400, blank=True)

    objects = PaymentQuerySet.as_manager()

    class Meta:
        verbose_name = _("payment")
        verbose_name_plural = _("payments")
        ordering = ["paid_on", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0), name="payment_over_zero"),
            models.CheckConstraint(
                condition=Q(struck_at__isnull=True, struck_by__isnull=True, struck_because="")
                | (Q(struck_at__isnull=False, struck_by__isnull=False) & ~Q(struck_because="")),
                name="struck_with_a_reason",
            ),
        ]
        indexes = [models.Index(fields=["paid_on"], name="payments_by_day")]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.paid_on} {self.amount} {self.currency}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add the row; afterwards only strike it."""
        if self.pk is None:
            self.digest = digest(self.sealed)
        elif not set(kwargs.get("update_fields") or ["everything"]) <= STRUCK:
            raise FrozenError("A payment is struck, not edited.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise FrozenError("A payment is struck, not deleted.")

    @property
    def sealed(self) -> dict[str, Any]:
        """Everything that was recorded."""
        return {
            "hull": self.hull_id,
            "client_id": str(self.client_id),
            "kind": str(self.kind),
            "amount": f"{self.amount:.4f}",
            "currency": self.currency,
            "paid_on": self.paid_on.isoformat(),
            "how": str(self.how),
            "reference": self.reference,
            "recorded_by": self.recorded_by_id,
        }

    @property
    def holds(self) -> bool:
        """Whether it still is what was recorded."""
        return self.digest == digest(self.sealed)

    @property
    def is_struck(self) -> bool:
        """Whether it was taken back."""
        return self.struck_at is not None


class InvoiceKind(models.TextChoices):
    """An invoice, or the note that takes one back."""

    INVOICE = "invoice", _("invoice")
    CREDIT = "credit", _("credit note")


class Invoice(models.Model):
    """One invoice or credit note, as it was issued: numbered without gaps by kind, and never changed.

    ``body`` is what stands on it, ``digest`` is over `sealed`. ``held`` is the sum of the approved papers that it was
    held against. A credit note has the ``total`` and ``held`` of the invoice that it takes back, with a minus.
    """

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="invoices", verbose_name=_("hull"))
    client_id = models.UUIDField(_("sender's number"), unique=True)
    kind = models.CharField(_("kind"), max_length=8, choices=InvoiceKind, default=InvoiceKind.INVOICE)
    number = models.PositiveIntegerField(_("number"))
    label = models.CharField(_("called"), max_length=24)
    credits = models.OneToOneField(
        "self", models.PROTECT, related_name="credit", verbose_name=_("takes back"), null=True
    )
    reason = models.CharField(_("because"), max_length=400, blank=True)
    body = models.JSONField(_("what stands on it"), encoder=DjangoJSONEncoder)
    currency = models.CharField(_("currency"), max_length=3)
    subtotal = models.DecimalField(_("before tax"), max_digits=14, decimal_places=4)
    total = models.DecimalField(_("total"), max_digits=14, decimal_places=4)
    held = models.DecimalField(_("agreed"), max_digits=14, decimal_places=4)
    issued_on = models.DateField(_("issued on"))
    due_on = models.DateField(_("to be paid by"), null=True)
    recorded_at = models.DateTimeField(_("recorded"))
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("by"))
    digest = models.CharField(_("digest"), max_length=64)

    class Meta:
        verbose_name = _("invoice")
        verbose_name_plural = _("invoices")
        ordering = ["issued_on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["kind", "number"], name="one_invoice_a_number"),
            models.CheckConstraint(
                condition=Q(kind=InvoiceKind.INVOICE, credits__isnull=True, total__gte=0)
                | (Q(kind=InvoiceKind.CREDIT, credits__isnull=False, total__lte=0) & ~Q(reason="")),
                name="credit_note_takes_an_invoice_back",
            ),
        ]
        indexes = [models.Index(fields=["issued_on"], name="invoices_by_day")]

    def __str__(self) -> str:
        return self.label

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Add the row; afterwards never."""
        if self.pk is not None:
            raise FrozenError("An invoice is credited, not edited.")
        self.digest = digest(self.sealed)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise FrozenError("An invoice is credited, not deleted.")

    @property
    def sealed(self) -> dict[str, Any]:
        """Everything that it says."""
        return {
            "hull": self.hull_id,
            "kind": str(self.kind),
            "label": self.label,
            "credits": self.credits_id,
            "reason": self.reason,
            "body": self.body,
            "currency": self.currency,
            "sums": [f"{amount:.4f}" for amount in (self.subtotal, self.total, self.held)],
            "issued_on": self.issued_on.isoformat(),
            "due_on": self.due_on.isoformat() if self.due_on else None,
        }

    @property
    def holds(self) -> bool:
        """Whether it still is what was issued."""
        return self.digest == digest(self.sealed)

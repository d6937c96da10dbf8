"""What people write to the shop from the supplies page."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull


class EnquiryState(models.TextChoices):
    """What became of an enquiry."""

    OPEN = "open", _("open")
    HULL = "hull", _("became a hull")
    CLOSED = "closed", _("closed")


class Enquiry(models.Model):
    """Somebody's boat, what it needs, the list as they saw it, and what they wrote.

    The name is anybody's word, and nothing here is acted on before the shop's owner decides.
    """

    made_at = models.DateTimeField(_("sent"), db_index=True)
    name = models.CharField(_("name"), max_length=80)
    email = models.EmailField(_("e-mail"))
    words = models.TextField(_("words"), max_length=2000, blank=True)
    query = models.CharField(_("inputs, as the share link holds them"), max_length=2000)
    listed = models.JSONField(_("the list as it was"), default=dict, blank=True)
    token = models.CharField(_("one-time token"), max_length=32, unique=True)
    digest = models.CharField(_("digest of what was written"), max_length=64)
    sender = models.CharField(_("keyed digest of the sender's address"), max_length=64)
    state = models.CharField(_("state"), max_length=8, choices=EnquiryState, default=EnquiryState.OPEN)
    hull = models.OneToOneField(
        Hull, models.PROTECT, related_name="enquiry", null=True, blank=True, verbose_name=_("hull")
    )
    reason = models.CharField(_("why it was closed"), max_length=400, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("decided by")
    )
    decided_at = models.DateTimeField(_("decided"), null=True, blank=True)

    class Meta:
        verbose_name = _("enquiry")
        verbose_name_plural = _("enquiries")
        ordering = ["-made_at", "-pk"]
        indexes = [models.Index(fields=["sender", "made_at"], name="enquiries_of_a_sender")]
        constraints = [
            models.UniqueConstraint(
                fields=["digest"], condition=models.Q(state="open"), name="same_words_are_one_open_enquiry"
            ),
            models.CheckConstraint(
                condition=models.Q(state="hull", hull__isnull=False) | (~models.Q(state="hull") & models.Q(hull=None)),
                name="enquiry_that_became_a_hull_has_it",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.made_at:%Y-%m-%d}"

    @property
    def is_open(self) -> bool:
        """Whether nobody has decided yet."""
        return self.state == EnquiryState.OPEN

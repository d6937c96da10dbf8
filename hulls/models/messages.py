"""The out-tray: letters to boats' owners, each a row before it is anything else."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull


class MessageKind(models.TextChoices):
    """What a letter is about."""

    LINK = "link", _("link to the boat’s page")
    STEP = "step", _("steps done")
    ACT = "act", _("something to do")
    WORDS = "words", _("what we wrote")
    WEEKLY = "weekly", _("the week’s letter")
    RECORD = "record", _("finish record")


class MessageState(models.TextChoices):
    """Where a letter stands."""

    WAITING = "waiting", _("waits")
    SENDING = "sending", _("being sent")
    SENT = "sent", _("sent")
    KEPT = "kept", _("written, not sent")
    DROPPED = "dropped", _("not needed any more")
    FAILED = "failed", _("failed")
    BOUNCED = "bounced", _("came back")


class Message(models.Model):
    """One letter to a boat's owner.

    ``lines`` are the lines of the hull's log that it tells of, or in a letter of our words the remarks: until it is
    tried, more may join it; struck ones leave. It is written when it is first due, and from then on its words, its date
    and its number stay, so that a letter that goes out again is the same letter. A worker takes it by writing its
    ``token`` and a lease. No address that opens the boat's page stands in ``text`` and ``html``, only a mark for it.
    """

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="letters", verbose_name=_("hull"))
    kind = models.CharField(_("about"), max_length=8, choices=MessageKind)
    key = models.CharField(max_length=80, unique=True, editable=False)
    lines = models.JSONField(_("lines of the log"), default=list)
    number = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    state = models.CharField(_("state"), max_length=8, choices=MessageState, default=MessageState.WAITING)
    made_at = models.DateTimeField(_("noted"))
    due_at = models.DateTimeField(_("due"))
    to_name = models.CharField(_("to"), max_length=80, blank=True)
    to_address = models.CharField(_("e-mail"), max_length=254, blank=True)
    subject = models.CharField(_("subject"), max_length=200, blank=True)
    text = models.TextField(_("as text"), blank=True)
    html = models.TextField(_("as HTML"), blank=True)
    photos = models.JSONField(_("photos"), default=list)
    message_id = models.CharField(max_length=200, blank=True)
    written_at = models.DateTimeField(_("written"), null=True)
    attempts = models.PositiveSmallIntegerField(_("attempts"), default=0)
    first_try_at = models.DateTimeField(_("first tried"), null=True)
    wakes = models.PositiveSmallIntegerField(default=0, editable=False)
    token = models.UUIDField(null=True, editable=False)
    lease_until = models.DateTimeField(null=True, editable=False)
    sent_at = models.DateTimeField(_("sent"), null=True)
    reason = models.CharField(_("why"), max_length=200, blank=True)
    answer = models.CharField(_("what the mail server said"), max_length=400, blank=True)

    class Meta:
        verbose_name = _("letter")
        verbose_name_plural = _("letters")
        ordering = ["-due_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["hull", "kind"],
                condition=models.Q(state="waiting", attempts=0),
                name="one_letter_that_gathers_a_hull_and_kind",
            )
        ]
        indexes = [models.Index(fields=["message_id"], name="letter_by_message_id")]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.kind} {self.due_at:%Y-%m-%d}"

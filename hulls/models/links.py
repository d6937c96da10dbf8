"""The link by which a boat's owner sees how it stands, and what they want to be written to about."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull


class Wish(models.TextChoices):
    """What a boat's owner wants letters about."""

    EVERY = "every", _("Every step")
    MILESTONES = "milestones", _("Only the milestones")
    ACT = "act", _("Only when I must do something")
    NOTHING = "nothing", _("Nothing")


class ProgressLink(models.Model):
    """A secret address for one boat. Only the hash of its token is kept; a withdrawn one opens nothing.

    What its owner chose stands here too: a new link takes it over from the one before.
    """

    hull = models.ForeignKey(Hull, models.CASCADE, related_name="links", verbose_name=_("hull"))
    token_hash = models.CharField(_("hash of the token"), max_length=64, unique=True)
    made_at = models.DateTimeField(_("made"))
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, verbose_name=_("made by"))
    withdrawn_at = models.DateTimeField(_("withdrawn"), null=True, blank=True)
    wish = models.CharField(_("letters about"), max_length=10, choices=Wish, default=Wish.ACT)
    weekly = models.BooleanField(_("a letter every week"), default=False)

    class Meta:
        verbose_name = _("progress link")
        verbose_name_plural = _("progress links")
        constraints = [
            models.UniqueConstraint(
                fields=["hull"], condition=models.Q(withdrawn_at__isnull=True), name="one_open_link_a_hull"
            )
        ]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.made_at:%Y-%m-%d}"

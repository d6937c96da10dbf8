"""What a boat's owner and the shop write to each other about one boat: one thread, which both read."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull
from hulls.models.photos import Photo

REMARK_LENGTH = 2000


class Remarks(models.QuerySet["Remark"]):
    """Remarks as pages ask for them."""

    def standing(self) -> "Remarks":
        """Those that nobody struck."""
        return self.filter(struck_at=None)

    def waiting_for_shop(self) -> "Remarks":
        """What owners wrote that nobody answered or set aside."""
        return self.standing().filter(by=None, settled_at=None)

    def waiting_for_owner(self) -> "Remarks":
        """What the shop asked that the owner has not answered."""
        return self.standing().filter(by__isnull=False, asks=True, settled_at=None)


class Remark(models.Model):
    """One thing that was written: by the boat's owner where ``by`` is empty, else by the shop.

    ``asks`` marks a question of the shop's, ``day`` the day on which the owner means to come for the boat. What asks
    for an answer is ``settled`` by the next thing that the other side writes, or by the shop, which may say that it
    needs none. A remark is struck, never changed and never deleted.
    """

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="thread", verbose_name=_("hull"))
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, blank=True, verbose_name=_("by")
    )
    made_at = models.DateTimeField(_("written"))
    words = models.TextField(_("words"), max_length=REMARK_LENGTH, blank=True)
    photo = models.ForeignKey(
        Photo, models.SET_NULL, related_name="+", null=True, blank=True, verbose_name=_("about the photo")
    )
    asks = models.BooleanField(_("asks for an answer"), default=False)
    day = models.DateField(_("comes for the boat on"), null=True, blank=True)
    client_id = models.UUIDField(unique=True, editable=False)
    settled_at = models.DateTimeField(_("answered or set aside"), null=True, blank=True)
    struck_at = models.DateTimeField(_("struck"), null=True, blank=True)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, blank=True, verbose_name=_("struck by")
    )
    struck_because = models.CharField(_("why it was struck"), max_length=400, blank=True)

    objects = Remarks.as_manager()

    class Meta:
        verbose_name = _("remark")
        verbose_name_plural = _("remarks")
        ordering = ["made_at", "pk"]
        indexes = [
            models.Index(fields=["hull", "made_at"], name="remarks_of_a_hull"),
            models.Index(
                fields=["hull"],
                condition=models.Q(by=None, settled_at=None, struck_at=None),
                name="remarks_that_wait_for_the_shop",
            ),
        ]
        constraints = [
            models.CheckConstraint(condition=~models.Q(words="", day=None), name="remark_says_something"),
            models.CheckConstraint(
                condition=models.Q(day=None) | models.Q(by=None), name="day_of_collecting_is_the_owner_s"
            ),
            models.CheckConstraint(
                condition=models.Q(struck_at=None, struck_by=None) | models.Q(struck_at__isnull=False),
                name="who_struck_a_remark_struck_it",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.made_at:%Y-%m-%d}"

    @property
    def is_owner_s(self) -> bool:
        """Whether the boat's owner wrote it."""
        return self.by_id is None

    @property
    def waits(self) -> bool:
        """Whether it waits for an answer."""
        return self.settled_at is None and self.struck_at is None and (self.is_owner_s or self.asks)

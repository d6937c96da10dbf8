"""The colour of a boat, asked of its owner and chosen once."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.hulls import Hull


class ColourAsk(models.Model):
    """A choice of colours that the shop offers a boat's owner, and what they chose.

    ``offers`` are pairs of a name and a colour as ``#rrggbb``; with ``open_to_words`` the owner may describe another.
    A choice is kept once. It is ``taken`` into the boat's particulars at once where it is one of the offers and the
    boat is not painted yet, else by the shop. A withdrawn ask stays, with its answer if it had one.
    """

    hull = models.ForeignKey(Hull, models.PROTECT, related_name="colour_asks", verbose_name=_("hull"))
    offers = models.JSONField(_("colours"), default=list)
    open_to_words = models.BooleanField(_("another one may be described"), default=True)
    made_at = models.DateTimeField(_("asked"))
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, verbose_name=_("asked by")
    )
    client_id = models.UUIDField(unique=True, editable=False)
    name = models.CharField(_("chosen"), max_length=40, blank=True)
    colour = models.CharField(_("colour"), max_length=7, blank=True)
    words = models.CharField(_("described as"), max_length=200, blank=True)
    chosen_at = models.DateTimeField(_("chosen on"), null=True, blank=True)
    taken_at = models.DateTimeField(_("taken over"), null=True, blank=True)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, blank=True, verbose_name=_("taken by")
    )
    withdrawn_at = models.DateTimeField(_("withdrawn"), null=True, blank=True)

    class Meta:
        verbose_name = _("question of the colour")
        verbose_name_plural = _("questions of the colour")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["hull"],
                condition=models.Q(taken_at=None, withdrawn_at=None),
                name="one_open_question_of_the_colour",
            ),
            models.CheckConstraint(
                condition=models.Q(chosen_at=None, name="", words="") | models.Q(chosen_at__isnull=False),
                name="chosen_colour_has_its_moment",
            ),
            models.CheckConstraint(
                condition=models.Q(taken_at=None) | models.Q(chosen_at__isnull=False),
                name="only_a_chosen_colour_is_taken",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.made_at:%Y-%m-%d}"

    @property
    def waits(self) -> bool:
        """Whether the owner has not chosen yet."""
        return self.chosen_at is None and self.withdrawn_at is None

    @property
    def says(self) -> str:
        """What was chosen, by its name or as it was described."""
        return self.name or self.words

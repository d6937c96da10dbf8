"""Plans as they were made, what they told of each hull's finish, and the calendars that people subscribe to."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models import Hull
from stages.planner.fileformat import read_plan
from stages.planner.problem import Problem
from stages.planner.schedule import Schedule


class How(models.TextChoices):
    """Where a plan came from."""

    LIST = "list", _("at once, by the best rule")
    IMPROVED = "improved", _("bettered in the background")


class Plan(models.Model):
    """One plan of the whole shop; the newest is what holds.

    ``body`` is the plan with its problem, as `stages.planner.fileformat` writes it; ``digest`` tells whether the shop
    has changed since. ``moved`` lists the hulls whose finish moved, each with its days and why.
    """

    made_at = models.DateTimeField(_("made"), db_index=True)
    how = models.CharField(_("how"), max_length=8, choices=How)
    digest = models.CharField(_("digest of the problem"), max_length=64)
    cost = models.PositiveBigIntegerField(_("cost"))
    body = models.TextField(_("plan and problem"))
    moved = models.JSONField(_("what moved"), default=list, blank=True)

    class Meta:
        verbose_name = _("plan")
        verbose_name_plural = _("plans")
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M} {self.how}"

    def read(self) -> tuple[Problem, Schedule]:
        """The problem and its plan."""
        return read_plan(self.body)


class HullDates(models.Model):
    """What a forecast told of one hull's finish; the newest row holds, the older ones say how it changed.

    Early, likely and late are the days by which it is done with a chance of 10, 50 and 90 %; ``suggested_on`` is the
    one of 80 %. ``why`` holds sentences with named gaps and what fills them, empty where nothing moved.
    """

    hull = models.ForeignKey(Hull, models.CASCADE, related_name="dates", verbose_name=_("hull"))
    made_at = models.DateTimeField(_("made"))
    early_on = models.DateField(_("early"))
    likely_on = models.DateField(_("likely"))
    late_on = models.DateField(_("late"))
    suggested_on = models.DateField(_("suggested"))
    promised_on = models.DateField(_("promised for"), null=True)
    chance_pct = models.FloatField(_("chance of the promise, %"), null=True)
    why = models.JSONField(_("why it moved"), default=list, blank=True)

    class Meta:
        verbose_name = _("dates of a hull")
        verbose_name_plural = _("dates of hulls")
        ordering = ["hull", "-made_at", "-pk"]
        indexes = [models.Index(fields=["hull", "-made_at"], name="latest_dates_of_a_hull")]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.likely_on}"


class Feed(models.Model):
    """A secret address at which a calendar program reads what is planned; a withdrawn one opens nothing.

    It is one hull's, one person's, or with neither the whole shop's. Only the hash of its token is kept.
    """

    hull = models.ForeignKey(Hull, models.CASCADE, related_name="feeds", null=True, blank=True, verbose_name=_("hull"))
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.CASCADE,
        related_name="feeds",
        null=True,
        blank=True,
        verbose_name=_("person"),
    )
    token_hash = models.CharField(_("hash of the token"), max_length=64, unique=True)
    made_at = models.DateTimeField(_("made"))
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("made by"))
    withdrawn_at = models.DateTimeField(_("withdrawn"), null=True, blank=True)

    class Meta:
        verbose_name = _("calendar address")
        verbose_name_plural = _("calendar addresses")
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(hull=None) | models.Q(person=None), name="feed_of_a_hull_or_a_person_not_both"
            )
        ]

    def __str__(self) -> str:
        return f"{self.hull or self.person or ''} {self.made_at:%Y-%m-%d}"

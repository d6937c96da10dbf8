"""Plans as they were made, what they told of each hull's finish, and the calendars that people subscribe to."""

from dataclasses import dataclass
from datetime import date

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The days by which a hull is done with a chance of 10, 50, 90 and 80 %."""

    early: date
    likely: date
    late: date
    suggested: date


class HullDates(models.Model):
    """What a forecast told of one hull's finish; the newest row holds, the older ones say how it changed.

    Early, likely and late are the days by which it is done with a chance of 10, 50 and 90 %; ``suggested_on`` is the
    one of 80 %. Where a step of the hull has no place in the plan, no day can be named: then all four are empty and
    ``no_date`` says why, to the shop. ``no_date`` and ``why`` hold sentences with named gaps and what fills them;
    ``why`` is empty where nothing moved.
    """

    hull = models.ForeignKey(Hull, models.CASCADE, related_name="dates", verbose_name=_("hull"))
    made_at = models.DateTimeField(_("made"))
    early_on = models.DateField(_("early"), null=True, blank=True)
    likely_on = models.DateField(_("likely"), null=True, blank=True)
    late_on = models.DateField(_("late"), null=True, blank=True)
    suggested_on = models.DateField(_("suggested"), null=True, blank=True)
    no_date = models.JSONField(_("why no day can be named"), default=list, blank=True)
    promised_on = models.DateField(_("promised for"), null=True)
    chance_pct = models.FloatField(_("chance of the promise, %"), null=True)
    why = models.JSONField(_("why it moved"), default=list, blank=True)

    class Meta:
        verbose_name = _("dates of a hull")
        verbose_name_plural = _("dates of hulls")
        ordering = ["hull", "-made_at", "-pk"]
        indexes = [models.Index(fields=["hull", "-made_at"], name="latest_dates_of_a_hull")]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(early_on=None, likely_on=None, late_on=None, suggested_on=None, chance_pct=None)
                | models.Q(
                    early_on__isnull=False,
                    likely_on__isnull=False,
                    late_on__isnull=False,
                    suggested_on__isnull=False,
                ),
                name="all_dates_of_a_hull_or_none",
            )
        ]

    def __str__(self) -> str:
        return f"{self.hull_id} {self.likely_on or ''}".rstrip()

    @property
    def days(self) -> Days | None:
        """The days that were told; None where none could be named."""
        if self.early_on is None or self.likely_on is None or self.late_on is None or self.suggested_on is None:
            return None
        return Days(early=self.early_on, likely=self.likely_on, late=self.late_on, suggested=self.suggested_on)

    def in_danger(self, limit_pct: float) -> bool:
        """Whether its promise hardly holds: the chance is under the shop's limit, none where nobody can name a day."""
        chance_pct = self.chance_pct if self.days else 0.0
        return self.promised_on is not None and chance_pct is not None and chance_pct < limit_pct


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

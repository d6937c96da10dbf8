"""When people are in the shop and what they can do: hours of the week, days off, closing days, skills."""

from datetime import time

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.letters import Weekday
from shop.models.people import CrewMember


class Skill(models.Model):
    """Something that not everybody in the shop does, such as stretching canvas; a step of a route may ask for one."""

    name = models.CharField(_("name"), max_length=40, unique=True)
    people = models.ManyToManyField(
        CrewMember,
        related_name="skills",
        blank=True,
        verbose_name=_("who does it"),
        help_text=_("Nobody named: everybody does it."),
    )

    class Meta:
        verbose_name = _("skill")
        verbose_name_plural = _("skills")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class WorkDay(models.Model):
    """The hours of one person on one day of every week; a day without hours is off.

    Whoever has no rows at all works the usual hours (`shop.working_hours.USUAL`).
    """

    person = models.ForeignKey(CrewMember, models.CASCADE, related_name="work_days", verbose_name=_("person"))
    weekday = models.PositiveSmallIntegerField(_("day"), choices=Weekday)
    starts = models.TimeField(_("from"), null=True, blank=True)
    ends = models.TimeField(_("until"), null=True, blank=True)
    break_starts = models.TimeField(_("break from"), null=True, blank=True)
    break_ends = models.TimeField(_("break until"), null=True, blank=True)

    class Meta:
        verbose_name = _("day of work")
        verbose_name_plural = _("hours of the week")
        ordering = ["person", "weekday"]
        constraints = [models.UniqueConstraint(fields=["person", "weekday"], name="one_row_a_person_and_weekday")]

    def __str__(self) -> str:
        return f"{self.get_weekday_display()} {self.starts or ''}-{self.ends or ''}"

    def clean(self) -> None:
        """Refuse hours that end before they begin, half a pair, and a break outside of the hours."""
        check_hours(self.starts, self.ends, self.break_starts, self.break_ends)


def check_hours(starts: time | None, ends: time | None, break_starts: time | None, break_ends: time | None) -> None:
    """Refuse hours of a day that cannot be, beside the field that is wrong.

    Raises
    ------
    ValidationError
        With the field.
    """
    if (starts is None) != (ends is None):
        raise ValidationError({"ends": _("Say from when until when, or leave both empty for a day off.")})
    if starts and ends and ends <= starts:
        raise ValidationError({"ends": _("The day ends after it begins.")})
    if (break_starts is None) != (break_ends is None):
        raise ValidationError({"break_ends": _("Say from when until when the break is, or leave both empty.")})
    if break_starts and break_ends:
        if break_ends <= break_starts:
            raise ValidationError({"break_ends": _("The break ends after it begins.")})
        if starts is None or ends is None or break_starts < starts or break_ends > ends:
            raise ValidationError({"break_starts": _("The break lies within the hours of the day.")})


class DayOff(models.Model):
    """Days on which somebody is not there; without a person, days on which the whole shop is closed."""

    person = models.ForeignKey(
        CrewMember, models.CASCADE, related_name="days_off", verbose_name=_("person"), null=True, blank=True
    )
    first = models.DateField(_("first day"))
    last = models.DateField(_("last day"))
    reason = models.CharField(_("why"), max_length=80, blank=True)

    class Meta:
        verbose_name = _("days off")
        verbose_name_plural = _("days off")
        ordering = ["first", "pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(last__gte=models.F("first")), name="day_off_ends_after_it_begins")
        ]
        indexes = [models.Index(fields=["last"], name="days_off_ahead")]

    def __str__(self) -> str:
        return f"{self.first} - {self.last}"

    def clean(self) -> None:
        """Refuse days that end before they begin."""
        if self.first and self.last and self.last < self.first:
            raise ValidationError({"last": _("The last day is not before the first.")})


class WorkedHoliday(models.Model):
    """A public holiday on which the shop works all the same."""

    day = models.DateField(_("day"), unique=True)

    class Meta:
        verbose_name = _("holiday that is worked")
        verbose_name_plural = _("holidays that are worked")
        ordering = ["day"]

    def __str__(self) -> str:
        return f"{self.day}"

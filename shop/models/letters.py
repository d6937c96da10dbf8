"""When the shop writes to boats' owners."""

from datetime import time

from django.db import models
from django.utils.translation import gettext_lazy as _


class Weekday(models.IntegerChoices):
    """A day of the week, as Python counts them."""

    MONDAY = 0, _("Monday")
    TUESDAY = 1, _("Tuesday")
    WEDNESDAY = 2, _("Wednesday")
    THURSDAY = 3, _("Thursday")
    FRIDAY = 4, _("Friday")
    SATURDAY = 5, _("Saturday")
    SUNDAY = 6, _("Sunday")


class LetterFields(models.Model):
    """What the shop's row holds of letters; all times are by the shop's clock."""

    quiet_from = models.TimeField(
        _("no letters from"), default=time(20), help_text=_("What is due in the quiet hours goes out when they end.")
    )
    quiet_until = models.TimeField(
        _("no letters until"), default=time(8), help_text=_("The same time twice means no quiet hours.")
    )
    weekly_on = models.PositiveSmallIntegerField(_("day of the week's letter"), choices=Weekday, default=Weekday.FRIDAY)
    weekly_at = models.TimeField(_("time of the week's letter"), default=time(16))
    is_demo = models.BooleanField(default=False, editable=False)  # an invented shop writes to nobody

    class Meta:
        abstract = True

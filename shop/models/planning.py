"""What the shop's row holds of planning: public holidays, how long a plan is made, and when the shop is alerted."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.holidays_here import regions_of

LONGEST_PLAN_S = 30  # a job's lease is a minute, and the forecast comes on top


class PlanningFields(models.Model):
    """How the shop plans."""

    country = models.CharField(
        _("country of the public holidays"),
        max_length=2,
        blank=True,
        help_text=_("Two letters by ISO 3166, like CA; empty knows of no public holidays."),
    )
    region = models.CharField(
        _("province, state or canton"), max_length=8, blank=True, help_text=_("By ISO 3166-2, like ON.")
    )
    answer_days = models.PositiveSmallIntegerField(
        _("days until owners answer"),
        default=5,
        validators=[MaxValueValidator(90)],
        help_text=_("How long an estimate or change order waits for its answer, as a rule."),
    )
    plan_seconds = models.PositiveSmallIntegerField(
        _("seconds to better a plan"),
        default=10,
        validators=[MaxValueValidator(LONGEST_PLAN_S)],
        help_text=_("In the background, after each change; none keeps the first plan."),
    )
    promise_limit_pct = models.PositiveSmallIntegerField(
        _("alert when a promise's chance falls under, %"),
        default=50,
        validators=[MinValueValidator(0), MaxValueValidator(99)],
        help_text=_("Shown on the floor; 0 alerts never."),
    )
    alert_by_letter = models.BooleanField(
        _("also by e-mail to the shop"), default=False, help_text=_("To the shop's own address.")
    )

    class Meta:
        abstract = True

    def clean(self) -> None:
        """Refuse a country or region whose holidays nobody knows."""
        super().clean()
        self.country, self.region = self.country.strip().upper(), self.region.strip().upper()
        if self.region and not self.country:
            raise ValidationError({"country": _("Say of which country.")})
        if not self.country:
            return
        regions = regions_of(self.country)
        if regions is None:
            raise ValidationError({"country": _("No holidays are known of that country. Write it like CA or FR.")})
        if self.region and self.region not in regions:
            known = ", ".join(regions) or _("none")
            raise ValidationError({"region": _("Known there: %(known)s.") % {"known": known}})

"""What the air of a zone was, and which days were free of rain."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.places import Zone


class Reading(models.Model):
    """Temperature and humidity of a zone at a moment; surface temperature too where somebody measured it."""

    zone = models.ForeignKey(Zone, models.PROTECT, related_name="readings", verbose_name=_("zone"))
    at = models.DateTimeField(_("when"))
    air_c = models.FloatField(_("air, °C"), validators=[MinValueValidator(-40.0), MaxValueValidator(50.0)])
    rh_pct = models.FloatField(_("relative humidity, %"), validators=[MinValueValidator(0.0), MaxValueValidator(100.0)])
    surface_c = models.FloatField(
        _("surface, °C"), null=True, blank=True, validators=[MinValueValidator(-40.0), MaxValueValidator(70.0)]
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, verbose_name=_("by"))

    class Meta:
        verbose_name = _("reading")
        verbose_name_plural = _("readings")
        constraints = [models.UniqueConstraint(fields=["zone", "at"], name="one_reading_a_zone_and_moment")]

    def __str__(self) -> str:
        return f"{self.zone} {self.at:%Y-%m-%d %H:%M} {self.air_c:.1f} °C {self.rh_pct:.0f} %"


class WeatherDay(models.Model):
    """Whether a day was free of rain in an outdoor zone."""

    zone = models.ForeignKey(Zone, models.PROTECT, related_name="weather", verbose_name=_("zone"))
    day = models.DateField(_("day"))
    dry = models.BooleanField(_("free of rain"))

    class Meta:
        verbose_name = _("day of weather")
        verbose_name_plural = _("days of weather")
        constraints = [models.UniqueConstraint(fields=["zone", "day"], name="one_weather_a_zone_and_day")]

    def __str__(self) -> str:
        return f"{self.zone} {self.day}"

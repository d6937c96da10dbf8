"""What the air of a zone was, and which days were free of rain."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.places import Zone
from shop.models.sensors import Sensor


class Flag(models.TextChoices):
    """What looks wrong with a reading."""

    STUCK = "stuck", _("stuck")
    RESTLESS = "restless", _("swinging")
    WILD = "wild", _("wild")


class Reading(models.Model):
    """Temperature and humidity of a zone at a moment; surface temperature too where somebody measured it.

    A flagged reading is out of the dry clock until somebody decides; who decided, and when, stays with it.
    """

    zone = models.ForeignKey(Zone, models.PROTECT, related_name="readings", verbose_name=_("zone"))
    at = models.DateTimeField(_("when"))
    air_c = models.FloatField(_("air, °C"), validators=[MinValueValidator(-40.0), MaxValueValidator(50.0)])
    rh_pct = models.FloatField(_("relative humidity, %"), validators=[MinValueValidator(0.0), MaxValueValidator(100.0)])
    surface_c = models.FloatField(
        _("surface, °C"), null=True, blank=True, validators=[MinValueValidator(-40.0), MaxValueValidator(70.0)]
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, verbose_name=_("by"))
    sensor = models.ForeignKey(
        Sensor, models.PROTECT, null=True, blank=True, related_name="readings", verbose_name=_("sensor")
    )
    flag = models.CharField(_("flag"), max_length=8, choices=Flag, blank=True, default="")
    out = models.BooleanField(_("kept out of the clock"), default=False)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("decided by")
    )
    decided_at = models.DateTimeField(_("decided"), null=True, blank=True)
    turn = models.PositiveBigIntegerField(
        _("turn"), default=0, editable=False, help_text=_("Number of the write that changed it last; see the pulse.")
    )

    class Meta:
        verbose_name = _("reading")
        verbose_name_plural = _("readings")
        constraints = [
            models.UniqueConstraint(
                fields=["zone", "at"], name="one_reading_a_zone_and_moment", condition=models.Q(sensor=None)
            ),
            models.UniqueConstraint(fields=["sensor", "at"], name="one_reading_a_sensor_and_moment"),
        ]
        indexes = [
            models.Index(fields=["zone", "at"], name="air_of_a_zone"),
            models.Index(fields=["turn"], name="air_by_turn"),
            models.Index(
                fields=["sensor", "at"], name="readings_to_decide", condition=models.Q(out=True, decided_at=None)
            ),
            models.Index(fields=["decided_at"], name="readings_decided", condition=~models.Q(decided_at=None)),
            models.Index(fields=["sensor", "at"], name="readings_decided_of", condition=~models.Q(decided_at=None)),
        ]

    def __str__(self) -> str:
        return f"{self.zone} {self.at:%Y-%m-%d %H:%M} {self.air_c:.1f} °C {self.rh_pct:.0f} %"


class WeatherDay(models.Model):
    """Whether a day was free of rain in an outdoor zone: as a gauge had it, unless somebody said."""

    zone = models.ForeignKey(Zone, models.PROTECT, related_name="weather", verbose_name=_("zone"))
    day = models.DateField(_("day"))
    dry = models.BooleanField(_("free of rain"))
    rain_mm = models.FloatField(_("rain, mm"), null=True, blank=True, help_text=_("Empty where somebody said so."))

    class Meta:
        verbose_name = _("day of weather")
        verbose_name_plural = _("days of weather")
        constraints = [models.UniqueConstraint(fields=["zone", "day"], name="one_weather_a_zone_and_day")]

    def __str__(self) -> str:
        return f"{self.zone} {self.day}"

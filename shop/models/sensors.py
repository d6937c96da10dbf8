"""The sensors and loggers that read the air, each known by the digest of its token."""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.places import Zone


class Sensor(models.Model):
    """A device that reads the air of a zone, and rain where it has a gauge.

    One with a token sends its readings itself; one without is a logger whose file somebody brings. The token itself is
    kept nowhere: it is shown once, and only its digest stands here.
    """

    name = models.CharField(_("name"), max_length=60, unique=True)
    zone = models.ForeignKey(Zone, models.PROTECT, related_name="sensors", verbose_name=_("zone"))
    every_min = models.PositiveSmallIntegerField(
        _("sends every, minutes"), default=5, validators=[MinValueValidator(1), MaxValueValidator(1440)]
    )
    unit = models.CharField(
        _("temperatures in its file"),
        max_length=1,
        choices=[("c", _("°C where it says nothing")), ("f", _("°F where it says nothing"))],
        blank=True,
        default="",
    )
    token_digest = models.CharField(_("digest of the token"), max_length=64, unique=True, null=True, editable=False)  # noqa: DJ001
    added_at = models.DateTimeField(_("added"), auto_now_add=True)
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+", verbose_name=_("added by")
    )
    withdrawn_at = models.DateTimeField(_("withdrawn"), null=True, editable=False)
    last_heard_at = models.DateTimeField(_("last heard"), null=True, editable=False)
    paced_until_s = models.FloatField(
        _("paced until"), default=0.0, editable=False, help_text=_("Seconds since 1970, a little on with each request.")
    )

    class Meta:
        verbose_name = _("sensor")
        verbose_name_plural = _("sensors")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class SensorMove(models.Model):
    """A sensor left a zone: what it read before that moment was the air of that zone."""

    sensor = models.ForeignKey(Sensor, models.PROTECT, related_name="moves", verbose_name=_("sensor"))
    left = models.ForeignKey(Zone, models.PROTECT, related_name="+", verbose_name=_("zone that it left"))
    at = models.DateTimeField(_("when"))
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+", verbose_name=_("moved by")
    )

    class Meta:
        verbose_name = _("move of a sensor")
        verbose_name_plural = _("moves of sensors")
        ordering = ["at"]
        constraints = [models.UniqueConstraint(fields=["sensor", "at"], name="one_move_a_sensor_and_moment")]

    def __str__(self) -> str:
        return f"{self.sensor} {self.at:%Y-%m-%d %H:%M}"


class RainFall(models.Model):
    """Rain that a gauge caught since its reading before."""

    sensor = models.ForeignKey(Sensor, models.PROTECT, related_name="rain", verbose_name=_("sensor"))
    at = models.DateTimeField(_("when"))
    rain_mm = models.FloatField(_("rain, mm"), validators=[MinValueValidator(0.0), MaxValueValidator(500.0)])

    class Meta:
        verbose_name = _("rain")
        verbose_name_plural = _("rain")
        constraints = [models.UniqueConstraint(fields=["sensor", "at"], name="one_rain_a_sensor_and_moment")]

    def __str__(self) -> str:
        return f"{self.sensor} {self.at:%Y-%m-%d %H:%M} {self.rain_mm:.1f} mm"

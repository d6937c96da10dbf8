"""The shop itself, its zones of air, and its stations with their places."""

from typing import Self
from zoneinfo import ZoneInfo, available_timezones

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models.letters import LetterFields
from shop.models.money import ChargingFields
from shop.models.planning import PlanningFields
from shop.models.sides import final_views

METER = [MinValueValidator(5.0), MaxValueValidator(30.0)]  # the defaults are from memory; a meter tells up to 30 %


class Units(models.TextChoices):
    """The units that the shop reads and writes; SI is kept inside."""

    METRIC = "metric", _("metric")
    US = "us", _("US customary")


class StationKind(models.TextChoices):
    """What a station is for."""

    RACK = "rack", _("rack")
    STRIP = "strip", _("strip bench")
    WOOD = "wood", _("wood bench")
    CANVAS = "canvas", _("canvas rig")
    FILLER = "filler", _("filler bay")
    FINISHING = "finishing", _("finishing room")
    YARD = "yard", _("yard")
    TRIM = "trim", _("trim bench")


def check_time_zone(name: str) -> None:
    """Refuse a name that is not in the time zone database."""
    if name not in available_timezones():
        raise ValidationError(_("“%(name)s” is not a time zone. Write it like Europe/Paris."), params={"name": name})


class Shop(ChargingFields, LetterFields, PlanningFields):
    """The one shop of this installation."""

    name = models.CharField(_("name"), max_length=80, default="The shop")
    place = models.CharField(_("place"), max_length=80, blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    time_zone = models.CharField(_("time zone"), max_length=50, default="UTC", validators=[check_time_zone])
    wood_oil_pct = models.FloatField(_("most moisture of wood before oil, %"), default=15.0, validators=METER)
    wood_varnish_pct = models.FloatField(_("most moisture of wood before varnish, %"), default=15.0, validators=METER)
    wood_glue_pct = models.FloatField(_("most moisture of wood before glue, %"), default=12.0, validators=METER)
    wood_canvas_pct = models.FloatField(_("most moisture of wood before canvas, %"), default=15.0, validators=METER)
    units = models.CharField(_("units"), max_length=10, choices=Units, default=Units.METRIC)
    photos_shared = models.BooleanField(
        _("show new photos to the boat's owner"),
        default=False,
        help_text=_("Whoever takes a photo can choose otherwise."),
    )
    struck_photo_days = models.PositiveSmallIntegerField(
        _("days until a struck photo leaves the disk"), default=30, validators=[MaxValueValidator(3650)]
    )
    final_views = models.JSONField(
        _("photos before a boat leaves"),
        default=final_views,
        blank=True,
        help_text=_("Whoever hands a boat over is asked for one from each side."),
    )
    supplies_public = models.BooleanField(
        _("supplies page open to everybody"),
        default=True,
        help_text=_("Whoever does their own boat finds there what it needs, and can write to the shop."),
    )
    supplies_prices = models.BooleanField(_("prices on the supplies page"), default=False)

    class Meta:
        verbose_name = _("shop")
        verbose_name_plural = _("shop")
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_shop")]

    def __str__(self) -> str:
        return self.name

    @classmethod
    def the_one(cls) -> Self:
        """The shop of this installation, with its defaults before anybody set it up."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)

    @property
    def zone_info(self) -> ZoneInfo:
        """The shop's time zone."""
        return ZoneInfo(self.time_zone)


class Charging(Shop):
    """The shop's row once more, for the settings page on money."""

    class Meta:
        proxy = True
        verbose_name = _("money and estimates")
        verbose_name_plural = _("money and estimates")


class Planning(Shop):
    """The shop's row once more, for the settings page on planning."""

    class Meta:
        proxy = True
        verbose_name = _("planning and holidays")
        verbose_name_plural = _("planning and holidays")


class Zone(models.Model):
    """A part of the shop with an air of its own."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    outdoors = models.BooleanField(_("outdoors"), default=False)
    set_c = models.FloatField(
        _("heating set to, °C"),
        null=True,
        blank=True,
        validators=[MinValueValidator(-10.0), MaxValueValidator(40.0)],
        help_text=_("Where a thermostat holds the room; empty looks ahead by the zone's own recent days."),
    )
    set_rh_pct = models.FloatField(
        _("humidity held at, %"),
        null=True,
        blank=True,
        validators=[MinValueValidator(5.0), MaxValueValidator(95.0)],
    )
    volume_m3 = models.FloatField(
        _("volume, m³"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1.0), MaxValueValidator(1e6)],
        help_text=_("Length by width by height of the room; solvent vapour is reckoned against it."),
    )

    class Meta:
        verbose_name = _("zone")
        verbose_name_plural = _("zones")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Station(models.Model):
    """A bench, bay, rig or rack with a number of places for hulls."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    kind = models.CharField(_("kind"), max_length=12, choices=StationKind)
    zone = models.ForeignKey(Zone, models.PROTECT, verbose_name=_("zone"))
    places = models.PositiveSmallIntegerField(
        _("places"), default=1, validators=[MinValueValidator(1), MaxValueValidator(400)]
    )
    position = models.PositiveSmallIntegerField(_("order on the floor"), default=0)

    class Meta:
        verbose_name = _("station")
        verbose_name_plural = _("stations")
        ordering = ["position", "name"]

    def __str__(self) -> str:
        return self.name

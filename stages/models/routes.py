"""Routes as the shop writes them: versions, and the stages of each."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.models import COATING_CHOICES, Skill, StationKind
from stages.engine.errors import EngineError
from stages.engine.route import When
from stages.engine.vocab import Gate
from stages.models.choices import Damage, Dryness, Surface


def check_when(text: str) -> None:
    """Refuse a condition that the engine cannot read."""
    try:
        When.parse(text)
    except EngineError as error:
        raise ValidationError(error.message) from error


def check_gates(gates: object) -> None:
    """Refuse a gate that no rule reads."""
    known = ", ".join(Gate)
    if not isinstance(gates, list) or not set(gates) <= set(Gate):
        raise ValidationError(_("Gates are a list of: %(known)s."), params={"known": known})


class Route(models.Model):
    """One version of a route. A published version is never changed: hulls in work lean on it."""

    name = models.CharField(_("name"), max_length=80)
    version = models.PositiveIntegerField(_("version"), default=1)
    published_at = models.DateTimeField(_("published"), null=True, blank=True, editable=False)
    current = models.BooleanField(_("taken for new hulls"), default=False, editable=False)

    class Meta:
        verbose_name = _("route")
        verbose_name_plural = _("routes")
        ordering = ["name", "-version"]
        constraints = [
            models.UniqueConstraint(fields=["name", "version"], name="one_route_a_name_and_version"),
            models.UniqueConstraint(fields=["current"], condition=models.Q(current=True), name="one_current_route"),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.version}"


class RouteStage(models.Model):
    """One stage of a route version."""

    route = models.ForeignKey(Route, models.CASCADE, related_name="stages", verbose_name=_("route"))
    key = models.SlugField(_("key"), max_length=40, validators=[RegexValidator(r"^[a-z][a-z0-9_-]*$")])
    name = models.CharField(_("name"), max_length=80)
    position = models.PositiveSmallIntegerField(_("order"), default=0)
    after = models.ManyToManyField(
        "self", symmetrical=False, related_name="before", blank=True, verbose_name=_("after")
    )
    station_kind = models.CharField(_("station"), max_length=12, choices=StationKind, blank=True)
    skill = models.ForeignKey(Skill, models.PROTECT, verbose_name=_("skill"), null=True, blank=True)
    when = models.CharField(_("only when"), max_length=60, blank=True, validators=[check_when])
    coats = models.PositiveSmallIntegerField(_("coats"), default=0, validators=[MaxValueValidator(12)])
    product_kind = models.CharField(_("of"), max_length=14, choices=COATING_CHOICES, blank=True)
    surface = models.CharField(_("on"), max_length=12, choices=Surface, blank=True)
    strips = models.CharField(_("lays bare"), max_length=12, choices=Surface, blank=True)
    needs_surface = models.CharField(_("must be dry before"), max_length=12, choices=Surface, blank=True)
    needs_dryness = models.CharField(_("dry enough to"), max_length=10, choices=Dryness, blank=True)
    gates = models.JSONField(_("gates"), default=list, blank=True, validators=[check_gates])
    hours_fixed = models.FloatField(_("hours"), default=0.0, validators=[MinValueValidator(0.0)])
    hours_each = models.FloatField(_("hours for each"), default=0.0, validators=[MinValueValidator(0.0)])
    counted = models.CharField(_("counted"), max_length=10, choices=Damage, blank=True)
    hours_per_m2 = models.FloatField(_("hours per m²"), default=0.0, validators=[MinValueValidator(0.0)])
    milestone = models.BooleanField(
        _("milestone"),
        default=False,
        help_text=_("Owners who chose to hear of milestones alone hear of it."),
    )
    owner_words = models.CharField(_("in the owner's words"), max_length=160, blank=True)
    caution = models.TextField(_("caution"), blank=True)

    class Meta:
        verbose_name = _("stage")
        verbose_name_plural = _("stages")
        ordering = ["position", "pk"]
        constraints = [models.UniqueConstraint(fields=["route", "key"], name="one_stage_a_route_and_key")]

    def __str__(self) -> str:
        return self.name

"""What the shop puts on boats, and what each label says of drying."""

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

MORE_THAN_NONE = [MinValueValidator(0.01)]


class ProductKind(models.TextChoices):
    """What a product is for."""

    OIL = "oil", _("oil")
    SEALER = "sealer", _("sealer")
    VARNISH = "varnish", _("varnish")
    CANVAS = "canvas", _("canvas")
    PRESERVATIVE = "preservative", _("preservative")
    LATEX_FILLER = "latex_filler", _("latex filler")
    OIL_FILLER = "oil_filler", _("oil-based filler")
    PRIMER = "primer", _("primer")
    ENAMEL = "enamel", _("enamel")


class CureFamily(models.TextChoices):
    """How a film hardens."""

    NONE = "", _("does not dry")
    OXIDATIVE = "oxidative", _("by taking up oxygen")
    WATER = "water", _("by losing water")
    SOLVENT = "solvent", _("by losing solvent")


class Product(models.Model):
    """One product, by its generic name. All hours are the label's, at its reference temperature."""

    name = models.CharField(_("generic name"), max_length=80, unique=True)
    kind = models.CharField(_("kind"), max_length=14, choices=ProductKind)
    usual = models.BooleanField(_("usual one of its kind"), default=False)
    active = models.BooleanField(_("in use"), default=True)
    colour = models.CharField(
        _("colour"), max_length=7, blank=True, validators=[RegexValidator(r"^#[0-9a-f]{6}$", _("Like #2f5d46."))]
    )
    colour_name = models.CharField(_("name of the colour"), max_length=40, blank=True)
    oil_based = models.BooleanField(_("oil-based"), default=False)
    sand_between = models.BooleanField(_("sanded between coats"), default=False)
    smoothed_wet = models.BooleanField(_("smoothed wet, not sanded"), default=False)
    uv_protecting = models.BooleanField(_("keeps the sun off"), default=False)
    self_heating = models.BooleanField(_("its rags heat themselves"), default=False)
    dry_days_outdoors = models.PositiveSmallIntegerField(
        _("rain-free days outdoors"), default=0, validators=[MaxValueValidator(60)]
    )
    family = models.CharField(_("hardens"), max_length=10, choices=CureFamily, blank=True)
    tack_free_h = models.FloatField(
        _("hours to tack-free"), null=True, blank=True, validators=[MinValueValidator(0.01)]
    )
    sand_h = models.FloatField(_("hours to sand"), null=True, blank=True, validators=MORE_THAN_NONE)
    recoat_h = models.FloatField(_("hours to recoat"), null=True, blank=True, validators=MORE_THAN_NONE)
    topcoat_h = models.FloatField(
        _("hours to be covered by another kind"), null=True, blank=True, validators=[MinValueValidator(0.01)]
    )
    handle_h = models.FloatField(_("hours to handle"), null=True, blank=True, validators=MORE_THAN_NONE)
    window_h = models.FloatField(
        _("hours until the recoat window closes"), null=True, blank=True, validators=[MinValueValidator(0.01)]
    )
    reference_c = models.FloatField(_("reference temperature, °C"), default=23.0)
    q10 = models.FloatField(
        _("times faster per 10 °C"), default=2.0, validators=[MinValueValidator(1.0), MaxValueValidator(6.0)]
    )
    lowest_c = models.FloatField(_("lowest temperature, °C"), default=5.0)
    caution = models.TextField(_("caution"), blank=True)

    class Meta:
        verbose_name = _("product")
        verbose_name_plural = _("products")
        ordering = ["kind", "name"]
        constraints = [
            models.UniqueConstraint(fields=["kind"], condition=models.Q(usual=True), name="one_usual_product_of_a_kind")
        ]

    def __str__(self) -> str:
        return self.name

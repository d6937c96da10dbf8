"""What the shop puts on boats, and what each label and data sheet says of drying, film and solvent."""

import math
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator, URLValidator
from django.db import models
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

MORE_THAN_NONE = [MinValueValidator(0.01)]
SOLVENT_FIELDS = ("solvent_density_kg_l", "solvent_molar_g", "solvent_lel_pct", "solvent_source")


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
    GLUE = "glue", _("glue")
    BEDDING = "bedding", _("bedding compound")
    TACKS = "tacks", _("tacks")
    FASTENINGS = "fastenings", _("fastenings")
    ABRASIVE = "abrasive", _("abrasive")
    SOLVENT = "solvent", _("solvent")
    STRIPPER = "stripper", _("stripper")
    CLEANER = "cleaner", _("cleaner")
    RAGS = "rags", _("rags")
    GLOVES = "gloves", _("gloves")
    FILTER = "filter", _("filter")
    TIMBER = "timber", _("timber")
    CANE = "cane", _("cane")
    OTHER = "other", _("other")


# What goes on a hull as a layer of its own. The stage engine knows these kinds and no other.
COATINGS = (
    ProductKind.OIL,
    ProductKind.SEALER,
    ProductKind.VARNISH,
    ProductKind.CANVAS,
    ProductKind.PRESERVATIVE,
    ProductKind.LATEX_FILLER,
    ProductKind.OIL_FILLER,
    ProductKind.PRIMER,
    ProductKind.ENAMEL,
)
COATING_CHOICES = [(kind.value, kind.label) for kind in COATINGS]


class Unit(models.TextChoices):
    """What an amount of a product is counted in."""

    LITRE = "L", _("L")
    KILOGRAM = "kg", _("kg")
    SQUARE_METRE = "m2", _("m²")
    METRE = "m", _("m")
    PIECE = "pc", pgettext_lazy("one thing of many", "pc")


class TimberPart(models.TextChoices):
    """The part of a hull that a timber is for."""

    ANY = "", _("any")
    RIBS = "ribs", _("ribs")
    PLANKS = "planks", _("planking")
    STEMS = "stems", _("stems")
    INWALES = "inwales", _("inwales")
    DECKS = "decks", _("decks")
    OUTWALES = "outwales", _("outwales")


class CureFamily(models.TextChoices):
    """How a film hardens."""

    NONE = "", _("does not dry")
    OXIDATIVE = "oxidative", _("by taking up oxygen")
    WATER = "water", _("by losing water")
    SOLVENT = "solvent", _("by losing solvent")


def within(least: float, most: float) -> list[Any]:
    """Validators for a number from least to most."""
    return [MinValueValidator(least), MaxValueValidator(most)]


def check_label_table(table: Any) -> None:
    """Refuse a label's table that is not pairs of an air temperature, °C, and hours to recoat, each °C once."""
    pairs = [pair for pair in table if _is_pair(pair)] if isinstance(table, list) else []
    if not isinstance(table, list) or len(pairs) != len(table):
        raise ValidationError(
            _("Write the table as pairs of °C and hours, each from -30 to 60 °C and over 0 h: [[10, 36], [23, 16]].")
        )
    if len({float(celsius) for celsius, _hours in pairs}) != len(pairs):
        raise ValidationError(_("The table gives one temperature twice."))


def _is_pair(pair: Any) -> bool:
    numbers = isinstance(pair, list) and len(pair) == 2 and all(type(number) in (int, float) for number in pair)
    return numbers and -30 <= pair[0] <= 60 and pair[1] >= 0.01 and math.isfinite(pair[1])


class Product(models.Model):
    """One product, by its generic name. All hours are the label's, at its reference temperature and humidity."""

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
    tack_free_h = models.FloatField(_("hours to tack-free"), null=True, blank=True, validators=MORE_THAN_NONE)
    sand_h = models.FloatField(_("hours to sand"), null=True, blank=True, validators=MORE_THAN_NONE)
    recoat_h = models.FloatField(_("hours to recoat"), null=True, blank=True, validators=MORE_THAN_NONE)
    topcoat_h = models.FloatField(
        _("hours to be covered by another kind"), null=True, blank=True, validators=MORE_THAN_NONE
    )
    handle_h = models.FloatField(_("hours to handle"), null=True, blank=True, validators=MORE_THAN_NONE)
    window_h = models.FloatField(
        _("hours until the recoat window closes"), null=True, blank=True, validators=MORE_THAN_NONE
    )
    reference_c = models.FloatField(_("reference temperature, °C"), default=23.0, validators=within(-30.0, 60.0))
    reference_rh_pct = models.FloatField(_("reference humidity, %"), default=50.0, validators=within(0.0, 99.0))
    q10 = models.FloatField(_("times faster per 10 °C"), default=2.0, validators=within(1.0, 6.0))
    activation_kj_mol = models.FloatField(
        _("activation energy, kJ/mol"),
        null=True,
        blank=True,
        validators=within(1.0, 300.0),
        help_text=_("Where it is known it takes the place of the times faster per 10 °C."),
    )
    label_table = models.JSONField(
        _("hours to recoat by temperature"),
        default=list,
        blank=True,
        validators=[check_label_table],
        help_text=_("Pairs of °C and hours, as the label gives them: [[10, 36], [23, 16], [35, 9]]. It goes first."),
    )
    film_factor = models.FloatField(
        _("times the label's hours, for the film as it is laid here"), default=1.0, validators=within(0.1, 10.0)
    )
    lowest_c = models.FloatField(_("lowest temperature, °C"), default=5.0, validators=within(-30.0, 60.0))
    highest_c = models.FloatField(_("highest temperature, °C"), default=35.0, validators=within(-30.0, 60.0))
    most_rh_pct = models.FloatField(_("highest humidity, %"), default=85.0, validators=within(1.0, 100.0))
    solids_pct = models.FloatField(_("solids, % of the volume"), null=True, blank=True, validators=within(1.0, 100.0))
    dry_film_um = models.FloatField(
        _("dry film of one coat, µm"), null=True, blank=True, validators=within(1.0, 2000.0)
    )
    solvent_g_l = models.FloatField(_("solvent, g in a litre"), null=True, blank=True, validators=within(0.0, 1500.0))
    solvent_density_kg_l = models.FloatField(
        _("density of the solvent, kg/L"), null=True, blank=True, validators=within(0.4, 2.0)
    )
    solvent_molar_g = models.FloatField(
        _("molar mass of the solvent, g/mol"), null=True, blank=True, validators=within(15.0, 400.0)
    )
    solvent_lel_pct = models.FloatField(
        _("lower explosive limit, % of the air"), null=True, blank=True, validators=within(0.1, 50.0)
    )
    solvent_source = models.CharField(_("where these values come from"), max_length=200, blank=True)
    caution = models.TextField(_("caution"), blank=True)
    chemistry = models.CharField(
        _("chemistry"), max_length=80, blank=True, help_text=_("What it is made of, like alkyd or linseed oil.")
    )
    unit = models.CharField(_("counted in"), max_length=2, choices=Unit, default=Unit.LITRE)
    counted = models.BooleanField(
        _("kept count of"), default=True, help_text=_("What the stores hold of it is counted, and coats draw from it.")
    )
    spread_m2_per_unit = models.FloatField(
        _("spreading rate, m² of one unit"),
        null=True,
        blank=True,
        validators=within(0.05, 1000.0),
        help_text=_("One coat, by the label; what is lost in the pot and the brush comes on top."),
    )
    loss_pct = models.FloatField(_("lost in the pot and the brush, %"), default=0.0, validators=within(0.0, 80.0))
    shelf_life_days = models.PositiveSmallIntegerField(
        _("days that it keeps unopened"), null=True, blank=True, validators=within(1, 7300)
    )
    opened_life_days = models.PositiveSmallIntegerField(
        _("days that it keeps once opened"), null=True, blank=True, validators=within(1, 7300)
    )
    settles_days = models.PositiveSmallIntegerField(
        _("days after which it has settled and is shaken or stirred first"),
        null=True,
        blank=True,
        validators=within(1, 3650),
    )
    data_sheet = models.CharField(
        _("data sheet"),
        max_length=300,
        blank=True,
        validators=[URLValidator(["http", "https"])],
        help_text=_("Where the maker’s sheet stands, like https://example.org/sheet.pdf."),
    )
    grit = models.PositiveSmallIntegerField(_("grit"), null=True, blank=True, validators=within(24, 3000))
    duck_number = models.PositiveSmallIntegerField(
        _("number of the duck"), null=True, blank=True, validators=within(1, 12)
    )
    length_mm = models.FloatField(_("length, mm"), null=True, blank=True, validators=within(1.0, 500.0))
    pieces_per_kg = models.FloatField(_("pieces in 1 kg"), null=True, blank=True, validators=within(1.0, 100_000.0))
    part = models.CharField(_("for which part"), max_length=10, choices=TimberPart, blank=True)

    class Meta:
        verbose_name = _("product")
        verbose_name_plural = _("products")
        ordering = ["kind", "name"]
        constraints = [
            models.UniqueConstraint(fields=["kind"], condition=models.Q(usual=True), name="one_usual_product_of_a_kind")
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_coating(self) -> bool:
        """Whether it goes on a hull as a layer of its own."""
        return self.kind in COATINGS

    def clean(self) -> None:
        """Refuse values that contradict one another; what passes here the dry clock can read.

        Raises
        ------
        ValidationError
            By field.
        """
        wrong: dict[str, Any] = {}
        if self.window_h and self.recoat_h and self.window_h <= self.recoat_h:
            wrong["window_h"] = _("The recoat window closes after it opens: more hours than to recoat.")
        if not _in_order(self.lowest_c, self.reference_c):
            wrong["reference_c"] = _("The label's own temperature is not under the lowest one.")
        if not _in_order(self.lowest_c, self.highest_c) or self.lowest_c == self.highest_c:
            wrong["highest_c"] = _("The highest temperature is over the lowest one.")
        wrong |= self._wrong_with_drying() | self._wrong_with_solvent()
        if wrong:
            raise ValidationError(wrong)

    def _wrong_with_drying(self) -> dict[str, Any]:
        if not self.is_coating or self.kind == ProductKind.CANVAS:
            return {}
        missing = [name for name in ("family", "recoat_h") if not getattr(self, name)]
        return {name: _("Without it nobody can say when the next coat may go on; see the label.") for name in missing}

    def _wrong_with_solvent(self) -> dict[str, Any]:
        if not self.solvent_g_l:
            return {}
        missing = [name for name in SOLVENT_FIELDS if not getattr(self, name)]
        if missing:
            return {name: _("The vapour cannot be reckoned without it; see the safety data sheet.") for name in missing}
        if self.solvent_g_l > 1000.0 * (self.solvent_density_kg_l or 0.0):
            return {"solvent_g_l": _("A litre of solvent alone would weigh less than that.")}
        return {}


def _in_order(low: float | None, high: float | None) -> bool:
    """Whether two numbers stand in order; a missing one is another check's affair."""
    return low is None or high is None or low <= high

"""A boat in the shop's care."""

from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models.lines import HullKind
from hulls.models.owners import Owner
from hulls.tags import is_tag


def check_tag(tag: str) -> None:
    """Refuse what cannot stand in the address of a sheet."""
    if not is_tag(tag):
        raise ValidationError(_("Letters, digits, dots, dashes and slashes; no word of an address, such as “new”."))


class Filler(models.TextChoices):
    """What fills the weave of the canvas."""

    LATEX = "latex", _("latex filler")
    OIL = "oil", _("oil-based filler")


class InsideVarnish(models.TextChoices):
    """When the inside is varnished."""

    BEFORE = "before", _("before the canvas")
    AFTER = "after", _("after the canvas")


class Priority(models.IntegerChoices):
    """How hard a promised date presses."""

    LOW = 1, _("can wait")
    NORMAL = 2, _("as promised")
    HIGH = 3, _("must be on time")


class Hull(models.Model):
    """A boat: whose it is, how big, what of, what finish its owner wants, and when it was promised."""

    tag = models.CharField(
        _("tag"),
        max_length=16,
        unique=True,
        validators=[check_tag],
    )
    owner = models.ForeignKey(Owner, models.PROTECT, related_name="hulls", verbose_name=_("owner"))
    name = models.CharField(_("name of the boat"), max_length=60, blank=True)
    length_m = models.FloatField(_("length, m"))
    beam_m = models.FloatField(_("beam, m"))
    depth_m = models.FloatField(_("depth amidships, m"))
    end_depth_m = models.FloatField(_("depth at the ends, m"))
    hull_type = models.CharField(_("type of hull"), max_length=12, choices=HullKind, default=HullKind.ALL_ROUND)
    rocker_m = models.FloatField(_("rocker, m"), null=True, blank=True)
    # What was taped, or the offsets, as hulls.offsets.kept writes them: on the row, so that sizes cost no query a hull.
    lines_table = models.TextField(_("stations or offsets"), blank=True, editable=False)
    wood = models.CharField(_("wood"), max_length=120, blank=True)
    fittings = models.CharField(_("fittings"), max_length=200, blank=True)
    filler = models.CharField(_("filler"), max_length=8, choices=Filler, default=Filler.LATEX)
    inside_varnish = models.CharField(
        _("inside varnish"), max_length=8, choices=InsideVarnish, default=InsideVarnish.BEFORE
    )
    colour = models.CharField(
        _("colour"),
        max_length=7,
        default="#2f5d46",
        validators=[RegexValidator(r"^#[0-9a-f]{6}$", _("Like #2f5d46."))],
    )
    colour_name = models.CharField(_("name of the colour"), max_length=40, default="spruce green")
    old_colour = models.CharField(
        _("colour that it came in"),
        max_length=7,
        default="#6e7f70",
        validators=[RegexValidator(r"^#[0-9a-f]{6}$", _("Like #2f5d46."))],
    )
    # A boat that comes back is a hull with a log, a route and a tag of its own, and remembers the time before.
    before = models.OneToOneField(
        "self",
        models.PROTECT,
        related_name="later",
        null=True,
        blank=True,
        editable=False,
        verbose_name=_("was here as"),
    )
    arrived_on = models.DateField(_("arrived on"))
    promised_on = models.DateField(_("promised for"), null=True, blank=True)
    priority = models.PositiveSmallIntegerField(_("priority"), choices=Priority, default=Priority.NORMAL)
    notes = models.TextField(_("notes"), max_length=4000, blank=True)

    class Meta:
        verbose_name = _("hull")
        verbose_name_plural = _("hulls")
        ordering = ["tag"]

    def __str__(self) -> str:
        return self.tag

    @property
    def choices(self) -> dict[str, str]:
        """The owner's choices that narrow the route."""
        return {"filler": self.filler, "inside": self.inside_varnish}

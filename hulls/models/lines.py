"""What was measured of a hull's lines beside its four measures: who wrote down which table, and when."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class HullKind(models.TextChoices):
    """The types of `hulls.lines.types`, in words."""

    ALL_ROUND = "all-round", _("all-round, with a shallow arched bottom")
    FLAT = "flat", _("flat bottom, full ends")
    ROUND = "round", _("round bottom, fine ends")
    RIVER = "river", _("much rocker, for rivers")
    FREIGHTER = "freighter", _("freighter: wide, flat and full")


class LinesKind(models.TextChoices):
    """What a table holds."""

    TAPED = "taped", _("stations taped on the hull")
    OFFSETS = "offsets", _("table of offsets")
    NONE = "none", _("none: the four measures alone")


class LinesRecord(models.Model):
    """One writing down of a hull's lines; the last one is what `Hull.lines_table` holds. Never changed or deleted."""

    hull = models.ForeignKey("hulls.Hull", models.PROTECT, related_name="lines_records", verbose_name=_("hull"))
    kind = models.CharField(_("what it holds"), max_length=8, choices=LinesKind)
    table = models.TextField(_("table, in metres"), blank=True)
    recorded_at = models.DateTimeField(_("written down at"))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name=_("by"))

    class Meta:
        verbose_name = _("record of lines")
        verbose_name_plural = _("records of lines")
        ordering = ["-recorded_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.hull} {self.recorded_at:%Y-%m-%d}"

"""The projection of the log that pages read: a hull's work, its stages, its coats. Only services write it."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from hulls.models import Hull
from shop.models import Product, Station, Zone
from stages.models.choices import Surface
from stages.models.routes import Route


class HullWork(models.Model):
    """A hull in work: its route version, where it stands, and the facts that its log adds up to.

    ``facts`` holds what needs no table of its own: counts and conditions of the survey, the lead test, moisture
    readings, the stays in zones (see `stages.projector`).
    """

    hull = models.OneToOneField(Hull, models.PROTECT, primary_key=True, related_name="work", verbose_name=_("hull"))
    route = models.ForeignKey(Route, models.PROTECT, verbose_name=_("route"))
    station = models.ForeignKey(Station, models.PROTECT, null=True, verbose_name=_("station"))
    place = models.PositiveSmallIntegerField(_("place"), null=True)
    arrived_at = models.DateTimeField(_("arrived"), null=True)
    handed_over_at = models.DateTimeField(_("handed over"), null=True)
    facts = models.JSONField(_("facts"), default=dict)
    lines = models.PositiveIntegerField(_("lines of the log"), default=0)

    class Meta:
        verbose_name = _("hull in work")
        verbose_name_plural = _("hulls in work")
        constraints = [models.UniqueConstraint(fields=["station", "place"], name="one_hull_a_place")]
        indexes = [models.Index("hull", name="work_in_hand", condition=models.Q(handed_over_at__isnull=True))]

    def __str__(self) -> str:
        return str(self.hull_id)


class StageState(models.Model):
    """What was recorded of one stage of a hull."""

    work = models.ForeignKey(HullWork, models.CASCADE, related_name="stage_states")
    stage = models.CharField(_("stage"), max_length=40)
    started_at = models.DateTimeField(_("started"), null=True)
    started_by = models.PositiveBigIntegerField(_("started by"), null=True)
    finished_at = models.DateTimeField(_("finished"), null=True)
    finished_by = models.PositiveBigIntegerField(_("finished by"), null=True)
    left_out = models.CharField(_("left out because"), max_length=400, blank=True)
    wet_method = models.BooleanField(_("worked wet"), default=False)
    coats_on = models.PositiveSmallIntegerField(_("coats on"), default=0)
    rags_due_since = models.DateTimeField(_("rags open since"), null=True)
    hours = models.FloatField(_("hours worked"), null=True)

    class Meta:
        verbose_name = _("state of a stage")
        verbose_name_plural = _("states of stages")
        constraints = [models.UniqueConstraint(fields=["work", "stage"], name="one_state_a_work_and_stage")]

    def __str__(self) -> str:
        return f"{self.work_id} {self.stage}"


class CoatOn(models.Model):
    """One coat on a hull."""

    work = models.ForeignKey(HullWork, models.CASCADE, related_name="coats")
    entry = models.PositiveBigIntegerField(_("entry"))
    stage = models.CharField(_("stage"), max_length=40)
    surface = models.CharField(_("surface"), max_length=12, choices=Surface)
    layer = models.PositiveSmallIntegerField(_("layer"))
    product = models.ForeignKey(Product, models.PROTECT, verbose_name=_("product"))
    zone = models.ForeignKey(Zone, models.PROTECT, verbose_name=_("zone"))
    at = models.DateTimeField(_("went on"))
    number = models.PositiveSmallIntegerField(_("number in its stage"))
    lot = models.CharField(_("lot"), max_length=40, blank=True)
    sanded_at = models.DateTimeField(_("sanded"), null=True)
    sanded_grit = models.PositiveSmallIntegerField(_("grit"), null=True)

    class Meta:
        verbose_name = _("coat")
        verbose_name_plural = _("coats")
        ordering = ["work", "surface", "layer"]
        constraints = [models.UniqueConstraint(fields=["work", "surface", "layer"], name="one_coat_a_layer")]

    def __str__(self) -> str:
        return f"{self.work_id} {self.surface} {self.layer}"

"""The engine's vocabularies as choices of fields, with the names that pages show."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Surface(models.TextChoices):
    """A face of the hull with coats of its own."""

    PLANKING = "planking", _("planking, outside")
    SKIN = "skin", _("skin")
    INSIDE = "inside", _("inside")
    BRIGHTWORK = "brightwork", _("brightwork")


class Dryness(models.TextChoices):
    """How dry a coat is."""

    TACK_FREE = "tack_free", _("be moved")
    SAND = "sand", _("be sanded")
    RECOAT = "recoat", _("take its next coat")
    TOPCOAT = "topcoat", _("be covered")
    HANDLE = "handle", _("be handled")


class Damage(models.TextChoices):
    """What a survey counts."""

    RIBS = "ribs", _("ribs")
    PLANKS = "planks", _("lengths of planking")
    STEMS = "stems", _("stems")
    INWALES = "inwales", _("inwale places")
    DECKS = "decks", _("decks")
    OUTWALES = "outwales", _("outwales")
    SEATS = "seats", _("seats")


class Condition(models.TextChoices):
    """How an old finish holds."""

    UNKNOWN = "unknown", _("not looked at")
    SOUND = "sound", _("sound")
    FLAKING = "flaking", _("flaking or loose")

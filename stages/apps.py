from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class StagesConfig(AppConfig):
    """Routes, the stage engine and the floor."""

    name = "stages"
    verbose_name = _("Stages")
    default_auto_field = "django.db.models.BigAutoField"

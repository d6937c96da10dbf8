from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class HullsConfig(AppConfig):
    """Boats and their owners."""

    name = "hulls"
    verbose_name = _("Hulls")
    default_auto_field = "django.db.models.BigAutoField"

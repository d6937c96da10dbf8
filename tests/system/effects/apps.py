from django.apps import AppConfig


class EffectsConfig(AppConfig):
    """Effects to count."""

    name = "tests.system.effects"
    label = "effects"
    default_auto_field = "django.db.models.BigAutoField"

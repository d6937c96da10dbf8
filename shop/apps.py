from django.apps import AppConfig
from django.utils.module_loading import autodiscover_modules
from django.utils.translation import gettext_lazy as _

from shop.celery import app as celery_app  # the app that @shared_task binds to, loaded with Django


class ShopConfig(AppConfig):
    """The shop: people, stations, products, and background work."""

    name = "shop"
    verbose_name = _("Shop")
    default_auto_field = "django.db.models.BigAutoField"
    celery_app = celery_app

    def ready(self) -> None:
        """Load each app's `jobs.py`, which registers its background work."""
        autodiscover_modules("jobs", "signals")

"""Readings of the air and days of weather, as they were recorded."""

from django.contrib.admin import register

from shop.admin.site import ReadOnlyAdmin, site
from shop.models import Reading, WeatherDay


@register(Reading, site=site)
class ReadingAdmin(ReadOnlyAdmin):
    """Each reading of a zone."""

    list_display = ("at", "zone", "air_c", "rh_pct", "surface_c", "by")
    list_filter = ("zone",)
    list_select_related = ("zone", "by")
    ordering = ("-at",)


@register(WeatherDay, site=site)
class WeatherDayAdmin(ReadOnlyAdmin):
    """Each day of weather."""

    list_display = ("day", "zone", "dry")
    list_filter = ("zone", "dry")
    list_select_related = ("zone",)
    ordering = ("-day",)

"""Readings of the air and days of weather, as they were recorded."""

from django.contrib.admin import register

from shop.admin.site import ReadOnlyAdmin, site
from shop.models import RainFall, Reading, Sensor, SensorMove, WeatherDay


@register(Reading, site=site)
class ReadingAdmin(ReadOnlyAdmin):
    """Each reading of a zone."""

    list_display = ("at", "zone", "air_c", "rh_pct", "surface_c", "by", "sensor", "flag", "out", "decided_by")
    list_filter = ("zone", "sensor", "flag", "out")
    list_select_related = ("zone", "by", "sensor", "decided_by")
    ordering = ("-at",)


@register(WeatherDay, site=site)
class WeatherDayAdmin(ReadOnlyAdmin):
    """Each day of weather."""

    list_display = ("day", "zone", "dry", "rain_mm")
    list_filter = ("zone", "dry")
    list_select_related = ("zone",)
    ordering = ("-day",)


@register(Sensor, site=site)
class SensorAdmin(ReadOnlyAdmin):
    """Each sensor; the page of sensors adds and withdraws them."""

    list_display = ("name", "zone", "every_min", "last_heard_at", "withdrawn_at", "added_by")
    list_filter = ("zone",)
    list_select_related = ("zone", "added_by")
    exclude = ("token_digest", "paced_until_s")


@register(SensorMove, site=site)
class SensorMoveAdmin(ReadOnlyAdmin):
    """Each move of a sensor to another zone."""

    list_display = ("at", "sensor", "left", "by")
    list_filter = ("sensor",)
    list_select_related = ("sensor", "left", "by")
    ordering = ("-at",)


@register(RainFall, site=site)
class RainFallAdmin(ReadOnlyAdmin):
    """Each reading of a rain gauge."""

    list_display = ("at", "sensor", "rain_mm")
    list_filter = ("sensor",)
    list_select_related = ("sensor",)
    ordering = ("-at",)

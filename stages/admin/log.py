"""The log and what it adds up to, to look at: there is no door beside the engine."""

from django.contrib.admin import register

from shop.admin.site import ReadOnlyAdmin, site
from stages.models import CoatOn, Entry, HullWork, StageState


@register(Entry, site=site)
class EntryAdmin(ReadOnlyAdmin):
    """Each line of each hull's log."""

    list_display = ("hull", "number", "kind", "stage", "at", "recorded_at", "by")
    list_filter = ("kind",)
    list_select_related = ("hull", "by")
    search_fields = ("hull__tag",)
    ordering = ("-pk",)


@register(HullWork, site=site)
class HullWorkAdmin(ReadOnlyAdmin):
    """Each hull in work, with the route version that it keeps."""

    list_display = ("hull", "route", "station", "place", "arrived_at", "handed_over_at", "lines")
    list_filter = ("route",)
    list_select_related = ("hull", "route", "station")
    search_fields = ("hull__tag",)


@register(StageState, site=site)
class StageStateAdmin(ReadOnlyAdmin):
    """What was recorded of each stage of each hull."""

    list_display = ("work", "stage", "started_at", "finished_at", "left_out", "coats_on")
    list_select_related = ("work",)
    search_fields = ("work__hull__tag",)


@register(CoatOn, site=site)
class CoatOnAdmin(ReadOnlyAdmin):
    """Each coat on each hull."""

    list_display = ("work", "surface", "layer", "product", "zone", "at", "sanded_at")
    list_filter = ("surface",)
    list_select_related = ("work", "product", "zone")
    search_fields = ("work__hull__tag",)

"""Background work, to see whether it is done."""

from django.contrib.admin import register

from shop.admin.site import ReadOnlyAdmin, site
from shop.models import Job


@register(Job, site=site)
class JobAdmin(ReadOnlyAdmin):
    """Each job with its state."""

    list_display = ("key", "name", "state", "attempts", "due_at", "done_at", "error")
    list_filter = ("state", "name")
    search_fields = ("key",)

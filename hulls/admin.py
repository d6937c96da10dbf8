"""Boats, owners, links and photos, to look at: they are changed on a hull's own sheet, through its log."""

from django.contrib.admin import register

from hulls.models import Enquiry, Estimate, Hull, Owner, Photo, ProgressLink
from shop.admin.site import ReadOnlyAdmin, site


@register(Owner, site=site)
class OwnerAdmin(ReadOnlyAdmin):
    """Each boat owner."""

    list_display = ("name", "email", "phone")
    search_fields = ("name", "email")


@register(Hull, site=site)
class HullAdmin(ReadOnlyAdmin):
    """Each boat."""

    list_display = ("tag", "name", "owner", "arrived_on", "promised_on", "priority")
    list_filter = ("priority",)
    list_select_related = ("owner",)
    search_fields = ("tag", "name", "owner__name")


@register(ProgressLink, site=site)
class ProgressLinkAdmin(ReadOnlyAdmin):
    """Each progress link: when it was made and withdrawn. What it opens with is kept by nobody."""

    list_display = ("hull", "made_at", "made_by", "withdrawn_at")
    list_select_related = ("hull", "made_by")
    fields = ("hull", "made_at", "made_by", "withdrawn_at")
    search_fields = ("hull__tag",)


@register(Photo, site=site)
class PhotoAdmin(ReadOnlyAdmin):
    """Each photo, by its caption."""

    list_display = ("hull", "taken_at", "caption", "view", "shared", "state")
    list_filter = ("shared", "state")
    list_select_related = ("hull",)
    fields = (
        "hull",
        "taken_at",
        "caption",
        "stage",
        "view",
        "shared",
        "state",
        "refusal",
        "width",
        "height",
        "struck_at",
    )
    search_fields = ("hull__tag", "caption")


@register(Enquiry, site=site)
class EnquiryAdmin(ReadOnlyAdmin):
    """Each enquiry that came by the supplies page."""

    list_display = ("made_at", "name", "email", "state", "hull")
    list_filter = ("state",)
    list_select_related = ("hull",)
    search_fields = ("name", "email")
    fields = ("made_at", "name", "email", "words", "query", "listed", "state", "hull", "reason", "decided_by")


@register(Estimate, site=site)
class EstimateAdmin(ReadOnlyAdmin):
    """Each version of an estimate or change order."""

    list_display = ("hull", "kind", "label", "version", "currency", "total", "sent_at", "answer", "answered_by")
    list_filter = ("kind", "answer")
    list_select_related = ("hull",)
    search_fields = ("hull__tag", "label")

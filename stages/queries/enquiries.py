"""The enquiries that came by the supplies page, as the crew reads them."""

from dataclasses import dataclass

from django.core.paginator import Page, Paginator

from hulls.models import Enquiry, EnquiryState

A_PAGE = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Enquiries:
    """One page of enquiries, and how many wait."""

    page: "Page[Enquiry]"
    waiting: int


def enquiry_list(*, done: bool, page: str) -> Enquiries:
    """Those that wait, or those that were decided, the latest first, in two queries or three."""
    waiting = Enquiry.objects.filter(state=EnquiryState.OPEN)
    rows = Enquiry.objects.exclude(state=EnquiryState.OPEN) if done else waiting
    found = Paginator(rows.select_related("hull", "decided_by").order_by("-made_at", "-pk"), A_PAGE).get_page(page)
    return Enquiries(page=found, waiting=waiting.count() if done else found.paginator.count)

"""The finish record of a boat: for the crew with a preview before the hand-over, for its owner behind the link."""

from collections.abc import Callable

from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from hulls.models import Hull, Photo, PhotoState
from hulls.photo_files import read
from shop.access import crew
from shop.pdf import Paper, PdfError, pdf_of
from shop.units import UnitSystem
from stages.queries.finish_record import ALTERED, RecordPage, record_at_hand, record_page, standing_record
from stages.views.floor import FloorRequest
from stages.views.progress import opened, secret, unknown_link
from stages.views.sheet import hull_at_hand

CHANGED_SINCE, NOT_NOW = 409, 503
ON_PAPER = "medium"


@require_safe
@never_cache
@crew
def finish_record(request: FloorRequest, tag: str) -> HttpResponse:
    """The record as it was given, or as it would be."""
    hull = hull_at_hand(request, tag)
    later = Hull.objects.filter(before_id=hull.row.pk).first()
    record = record_at_hand(hull, for_the_crew)
    page = {"record": record, "later": later, "owner": hull.hull.owner, "paper": paper_for_the_crew(record)}
    return render(request, "stages/finish_record.html", page)


@require_safe
@never_cache
@crew
def finish_record_pdf(request: FloorRequest, tag: str) -> HttpResponse:
    """The same on A4 or US Letter."""
    return _printed(request, record_at_hand(hull_at_hand(request, tag), for_the_crew))


@secret
def shared_record(request: FloorRequest, token: str) -> HttpResponse:
    """The record that a boat's owner was given."""
    record = _behind(request, token)
    if isinstance(record, HttpResponse):
        return record
    paper = reverse("shared_paper", kwargs={"token": token}) if signed_paper(record) else ""
    page = {"record": record, "shop": request.shop, "token": token, "paper": paper}
    return HttpResponse(render_to_string("stages/finish_record_owner.html", page))


@secret
def shared_paper(request: FloorRequest, token: str) -> HttpResponse:
    """The photo of the paper that was signed, as it stands on the record; no album shows it."""
    record = _behind(request, token)
    if isinstance(record, HttpResponse):
        return record
    photo = signed_paper(record)
    if photo is None:
        return unknown_link(request.shop)
    try:
        return HttpResponse(read(photo.name(ON_PAPER)), content_type="image/webp")
    except FileNotFoundError:
        return unknown_link(request.shop)


@secret
def shared_record_pdf(request: FloorRequest, token: str) -> HttpResponse:
    """The same, to keep."""
    record = _behind(request, token)
    return record if isinstance(record, HttpResponse) else _printed(request, record)


def signed_paper(record: RecordPage) -> Photo | None:
    """The photo of the paper that a record was signed for on, once it is worked and unless it was struck."""
    number = record.receipt.paper if record.receipt else None
    ready = Photo.objects.filter(signed_paper=True, state=PhotoState.READY, struck_at=None)
    return ready.filter(pk=number).first() if number else None


def paper_for_the_crew(record: RecordPage) -> str:
    """Where the crew finds that photo; nothing where there is none."""
    photo = signed_paper(record)
    return for_the_crew(photo.pk, ON_PAPER) if photo else ""


def for_the_crew(pk: int, size: str) -> str:
    """Where the crew finds a copy of a photo."""
    return reverse("photo", kwargs={"pk": pk, "size": size})


def _behind(request: FloorRequest, token: str) -> RecordPage | HttpResponse:
    """The record behind a link; or the answer that there is none, or none that is what was given."""
    row = opened(token)
    frozen = standing_record(row.pk) if row else None
    if frozen is None:
        return unknown_link(request.shop)
    if not frozen.holds:
        return _altered()
    units, today = UnitSystem(request.shop.units), timezone.localdate()
    return record_page(frozen.body, units=units, address=_shared_by(token), today=today, frozen=frozen)


def _altered() -> HttpResponse:
    return HttpResponse(_(ALTERED), status=CHANGED_SINCE, content_type="text/plain; charset=utf-8")


def _shared_by(token: str) -> Callable[[int, str], str]:
    def address(pk: int, size: str) -> str:
        return reverse("shared_photo", kwargs={"token": token, "pk": pk, "size": size})

    return address


def _printed(request: FloorRequest, record: RecordPage) -> HttpResponse:
    if not record.holds:
        return _altered()
    paper = Paper.LETTER if request.GET.get("paper") == "letter" else Paper.A4
    page = {"record": record, "shop": request.shop, "paper": paper_for_the_crew(record)}
    html = render_to_string("stages/finish_record_pdf.html", page)
    try:
        content = pdf_of(html, request.build_absolute_uri("/"), paper, pictures=_pictures(record))
    except PdfError as error:
        return HttpResponse(str(error), status=NOT_NOW, content_type="text/plain; charset=utf-8")
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{record.tag.replace("/", "-")}-finish-record.pdf"'
    return response


def _pictures(record: RecordPage) -> dict[str, bytes]:
    """The files of the photos on paper, by their addresses; one that is gone from the disk is left out."""
    wanted = {photo.pk: photo.src for photo in record.on_paper}
    if paper := signed_paper(record):
        wanted[paper.pk] = for_the_crew(paper.pk, ON_PAPER)
    found = {}
    for photo in Photo.objects.filter(pk__in=wanted):
        try:
            found[wanted[photo.pk]] = read(photo.name(ON_PAPER))
        except FileNotFoundError:
            continue
    return found

"""Labels with a QR code: which to print, the sheets on paper, and where a phone that reads one is led."""

from django.conf import settings
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import crew, lookers
from shop.labels.drawing import SheetDrawn, draw_sheets
from shop.models import Lot
from shop.pdf import PdfError, pdf_of
from shop.units import UnitSystem
from stages.forms.tags import TagsForm
from stages.queries.tags import CAN, HULL, can_labels, hull_labels, newest_stay
from stages.views.floor import FloorRequest

REFUSED, NOT_NOW = 422, 503
MOST_LABELS = 500


@require_safe
@never_cache
@lookers
def short(request: FloorRequest, kind: str, pk: int) -> HttpResponse:
    """Lead from what a label holds to the sheet of its hull or to its can; the log-in, if asked, leads on here."""
    if kind == HULL and (hull := newest_stay(pk)):
        return redirect("sheet", tag=hull.tag)
    if kind == CAN and Lot.objects.filter(pk=pk).exists():
        return redirect("lot", pk=pk)
    raise Http404(_("This label is of nothing that the shop knows."))


@require_safe
@never_cache
@crew
def tags(request: FloorRequest) -> HttpResponse:
    """Choose labels and look at the sheets."""
    form = _form(request)
    sheets = _sheets(request, form) if form.is_bound and form.is_valid() else ()
    page = {"form": form, "sheets": sheets, "query": request.GET.urlencode()}
    return render(request, "stages/tags.html", page, status=REFUSED if form.errors else 200)


@require_safe
@never_cache
@crew
def tags_print(request: FloorRequest) -> HttpResponse:
    """The sheets alone, true to size, for the browser's own printing."""
    form = _form(request)
    if not form.is_valid():
        return redirect(_back(request))
    return HttpResponse(_on_paper(request, form))


@require_safe
@never_cache
@crew
def tags_pdf(request: FloorRequest) -> HttpResponse:
    """The same as a PDF."""
    form = _form(request)
    if not form.is_valid():
        return redirect(_back(request))
    try:
        content = pdf_of(_on_paper(request, form), request.build_absolute_uri("/"), form.sheet().paper)
    except PdfError as error:
        return HttpResponse(str(error), status=NOT_NOW, content_type="text/plain; charset=utf-8")
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return response


def _form(request: FloorRequest) -> TagsForm:
    return TagsForm(request.GET or None, units=UnitSystem(request.shop.units))


def _sheets(request: FloorRequest, form: TagsForm) -> tuple[SheetDrawn, ...]:
    told, site = form.cleaned_data, site_of(request)
    each = [*hull_labels(told["hull"], request.shop, site), *can_labels(told["lot"], site)]
    labels = [label for label in each for _copy in range(told["copies"] or 1)]
    return draw_sheets(form.sheet(), labels[:MOST_LABELS], told["first"] or 1)


def site_of(request: FloorRequest) -> str:
    """The address at which phones reach the shop."""
    return settings.PUBLIC_URL if settings.PRODUCTION else request.build_absolute_uri("/").rstrip("/")


def _on_paper(request: FloorRequest, form: TagsForm) -> str:
    page = {"sheets": _sheets(request, form), "letter": form.sheet().paper == "letter"}
    return render_to_string("stages/tags_print.html", page)


def _back(request: FloorRequest) -> str:
    return f"{reverse('tags')}?{request.GET.urlencode()}"

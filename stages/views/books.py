"""The shop's books of a period, for its owner alone, and as CSV for the book-keeper."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import shop_owner
from shop.sheets.writing import csv_of
from stages.forms.bills import PeriodForm
from stages.queries.books import TABLES, books_of
from stages.views.floor import FloorRequest

REFUSED = 422


@require_safe
@never_cache
@shop_owner
def books(request: FloorRequest) -> HttpResponse:
    """Show a period: what came in, what was billed, each boat's margin, who owes."""
    form = PeriodForm(request.GET)
    if form.is_bound and not form.is_valid():
        return render(request, "stages/books.html", {"form": form}, status=REFUSED)
    first, last = form.days()
    page = {"form": form, "books": books_of(first, last, request.shop), "first": first, "last": last}
    return render(request, "stages/books.html", page)


@require_safe
@never_cache
@shop_owner
def book(request: FloorRequest, which: str) -> HttpResponse:
    """Send one table of a period as CSV."""
    if which not in TABLES:
        raise Http404(_("There is no such table."))
    form = PeriodForm(request.GET)
    if form.is_bound and not form.is_valid():
        return render(request, "stages/books.html", {"form": form}, status=REFUSED)
    first, last = form.days()
    head, rows = TABLES[which](first, last, request.shop)
    response = HttpResponse(csv_of(head, rows), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{which}-{first}-{last}.csv"'
    return response

"""The page on which the shop's owner takes in the hulls of a spreadsheet."""

from dataclasses import dataclass, field
from datetime import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext, ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods
from django_htmx.middleware import HtmxDetails

from hulls.intake import DateOrder, HullRow, RowProblem, SheetError, open_sheet
from hulls.intake.guide import GUIDE
from shop.access import me, shop_owner
from shop.models import CrewMember
from stages.engine.errors import EngineError
from stages.forms.intake import SheetForm
from stages.services.intake import Intake, take_in_sheet

MOST_SHOWN = 200
REFUSED = 422
TEMPLATE = "stages/import.html"


class HtmxRequest(HttpRequest):
    """A request behind django-htmx's middleware."""

    htmx: HtmxDetails


@dataclass(slots=True, kw_only=True)
class Report:
    """What the page says of a sheet: only so many problems that a page can hold."""

    check_only: bool
    unknown: tuple[str, ...] = ()
    intake: Intake | None = None
    problems: list[RowProblem] = field(default_factory=list)
    more: int = 0

    def watch(self, found: HullRow | RowProblem) -> None:
        """Keep a problem, or count it where there are too many."""
        if isinstance(found, RowProblem):
            if len(self.problems) < MOST_SHOWN:
                self.problems.append(found)
            else:
                self.more += 1


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@shop_owner
def import_page(request: HtmxRequest) -> HttpResponse:
    """Show the form; check a sheet, or take in its hulls, and say beside each row what is wrong with it."""
    if request.method != "POST":
        return render(request, TEMPLATE, {"form": SheetForm(), "guide": GUIDE})
    form = SheetForm(request.POST, request.FILES)
    report = Report(check_only=request.POST.get("do") != "take")
    if form.is_valid():
        _read(form, report, me(request), timezone.localtime())
    intake = report.intake
    if intake and intake.taken_in and not intake.bad and not request.htmx:
        count = intake.taken_in
        words = ngettext("%(count)d hull taken in.", "%(count)d hulls taken in.", count)
        messages.success(request, words % {"count": count})
        return redirect(request.path)
    well = intake is not None and (report.check_only or intake.taken_in > 0)
    return render(
        request,
        f"{TEMPLATE}#report" if request.htmx else TEMPLATE,
        {"form": form, "guide": GUIDE, "report": report},
        status=200 if well else REFUSED,
    )


def _read(form: SheetForm, report: Report, by: CrewMember, now: datetime) -> None:
    data = form.cleaned_data
    try:
        sheet = open_sheet(data["file"].file)
        report.unknown = sheet.unknown
        report.intake = take_in_sheet(
            sheet=sheet,
            by=by,
            now=now,
            watch=report.watch,
            date_order=DateOrder(data["date_order"]) if data["date_order"] else None,
            keep_good=data["keep_good"],
            dry_run=report.check_only,
        )
    except SheetError as error:
        form.add_error("file", str(error))
    except EngineError as error:
        form.add_error(None, gettext(error.message))

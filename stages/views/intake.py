"""The page on which the shop's owner takes in the hulls of a spreadsheet."""

from dataclasses import dataclass, field
from datetime import datetime

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.defaultfilters import filesizeformat
from django.utils import timezone
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods
from django_htmx.middleware import HtmxDetails

from hulls.intake import DateOrder, HullRow, IntakeError, RowProblem, open_sheet
from hulls.intake.guide import GUIDE
from shop.access import me, shop_owner
from shop.models import CrewMember
from stages.engine.errors import EngineError
from stages.services.intake import Intake, take_in_sheet

LARGEST = 2 * 1024 * 1024
MOST_SHOWN = 200
TEMPLATE = "stages/import.html"


def check_size(file: "UploadedFile[bytes]") -> None:
    """Refuse a file that would keep the page waiting."""
    size = file.size or 0
    if size > LARGEST:
        raise ValidationError(
            _("This file has %(size)s; %(largest)s is the most here. Split it, or use the command import_hulls."),
            params={"size": filesizeformat(size), "largest": filesizeformat(LARGEST)},
        )


class HtmxRequest(HttpRequest):
    """A request behind django-htmx's middleware."""

    htmx: HtmxDetails


class SheetForm(forms.Form):
    """A file, and how to read it."""

    file = forms.FileField(
        label=_("CSV file"),
        help_text=_("Commas, semicolons or tabs; UTF-8 or Windows-1252; 2 MB at most."),
        validators=[check_size],
        widget=forms.FileInput(attrs={"accept": ".csv,.txt,text/csv,text/plain"}),
    )
    date_order = forms.ChoiceField(
        label=_("Dates in it"),
        required=False,
        choices=[
            ("", _("year-month-day only: 2026-05-03")),
            (DateOrder.DMY.value, _("day, month, year too: 3.5.2026")),
            (DateOrder.MDY.value, _("month, day, year too: 5/3/2026")),
            (DateOrder.YMD.value, _("year, month, day with other marks too: 2026/5/3")),
        ],
    )
    keep_good = forms.BooleanField(
        label=_("Take in the good rows though others are bad"),
        required=False,
    )


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


@shop_owner
@require_http_methods(["GET", "HEAD", "POST"])
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
        status=200 if well else 422,
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
    except IntakeError as error:
        form.add_error("file", str(error))
    except EngineError as error:
        form.add_error(None, gettext(error.message))

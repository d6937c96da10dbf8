"""The page on which the crew brings a logger's file."""

from dataclasses import dataclass, field

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from shop.access import crew, me
from shop.forms.readings_file import ReadingsFileForm
from shop.middleware import ShopRequest
from shop.models import CrewMember, Sensor
from shop.readings.file import open_readings
from shop.readings.importing import take_in_file
from shop.readings.rows import FileReading
from shop.readings.saying import said_of
from shop.sheets.problems import RowProblem, SheetError

MOST_SHOWN = 200
REFUSED = 422


@dataclass(slots=True, kw_only=True)
class Report:
    """What the page says of a file: only so many problems that a page can hold."""

    check_only: bool
    said: list[str] = field(default_factory=list)
    unknown: tuple[str, ...] = ()
    problems: list[RowProblem] = field(default_factory=list)
    more: int = 0
    well: bool = False

    def watch(self, found: FileReading | RowProblem) -> None:
        """Keep a problem, or count it where there are too many."""
        if isinstance(found, RowProblem):
            if len(self.problems) < MOST_SHOWN:
                self.problems.append(found)
            else:
                self.more += 1


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def import_readings(request: ShopRequest) -> HttpResponse:
    """Show the form; check a file, or take in its readings, and say beside each row what is wrong with it."""
    shown: dict[str, object] = {"any_sensor": Sensor.objects.exists()}
    if request.method != "POST":
        return render(request, "shop/readings_file.html", {**shown, "form": ReadingsFileForm(shop=request.shop)})
    form = ReadingsFileForm(request.POST, request.FILES, shop=request.shop)
    report = Report(check_only=request.POST.get("do") != "take")
    if form.is_valid():
        _read(form, report, me(request))
    shown |= {"form": form, "report": report if report.said else None}
    return render(request, "shop/readings_file.html", shown, status=200 if report.well else REFUSED)


def _read(form: ReadingsFileForm, report: Report, by: CrewMember) -> None:
    data = form.cleaned_data
    try:
        file = open_readings(data["file"].file)
        report.unknown = file.columns.unknown
        taken = take_in_file(
            file=file,
            how=form.how,
            sensor=data["sensor"],
            by=by,
            now=timezone.now(),
            watch=report.watch,
            check_only=report.check_only,
        )
    except SheetError as error:
        form.add_error("file", str(error))
        return
    report.well = taken.good > 0 or not taken.bad
    report.said = said_of(taken, check_only=report.check_only)

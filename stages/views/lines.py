"""The page of a hull's lines: its sizes and sections, and the forms by which stations or offsets are written down."""

from dataclasses import dataclass
from typing import Any, cast

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from hulls.lines import LinesError, Offsets
from hulls.models import Hull
from hulls.offsets.kept import Lines, read_kept
from hulls.services.lines import record_lines
from shop.access import lookers, me
from shop.sheets.problems import RowProblem
from shop.units import UnitSystem
from stages.forms.lines import TableForm, TapedFormSet, TapedRows
from stages.queries.lines import lines_page
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED = 422


@dataclass(slots=True, kw_only=True)
class Report:
    """What is wrong in a table, as `components/found_in_file.html` shows it."""

    problems: list[RowProblem]
    more: int = 0
    unknown: tuple[str, ...] = ()


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@lookers
def lines(request: FloorRequest, tag: str) -> HttpResponse:
    """Show a hull's lines; write down stations (``do=taped``), a table (``do=table``) or neither (``do=measures``)."""
    hull = hull_at_hand(request, tag).hull
    if request.method != "POST":
        return _shown(request, hull)
    if not me(request).may_work:
        raise PermissionDenied
    do = request.POST.get("do")
    if do == "taped":
        rows = _rows(request, hull, bound=True)
        return _kept(request, hull, rows.stations) if rows.is_valid() else _shown(request, hull, rows=rows)
    if do == "table":
        form = TableForm(request.POST, request.FILES, initial=_kept_table(hull))
        if not form.is_valid() or form.lines is None:
            return _shown(request, hull, form=form)
        try:
            return _kept(request, hull, form.lines)
        except LinesError as error:
            form.add_error("file" if request.FILES else "table", error.message)
            return _shown(request, hull, form=form)
    return _kept(request, hull, None)


def _kept(request: FloorRequest, hull: Hull, found: Lines | None) -> HttpResponse:
    record_lines(hull_id=hull.pk, lines=found, by=me(request), now=timezone.now())
    messages.success(request, _("The lines of %(tag)s are written down.") % {"tag": hull.tag})
    return redirect("lines", tag=hull.tag)


def _shown(
    request: FloorRequest, hull: Hull, *, rows: TapedRows | None = None, form: TableForm | None = None
) -> HttpResponse:
    context = {
        "hull": hull,
        "page": lines_page(hull, UnitSystem(request.shop.units)),
        "rows": rows or _rows(request, hull),
        "form": form or TableForm(initial=_kept_table(hull)),
        "report": Report(problems=form.problems) if form else None,
        "may_work": me(request).may_work,
    }
    return render(request, "stages/lines.html", context, status=REFUSED if rows or form else 200)


def _kept_table(hull: Hull) -> dict[str, str]:
    return {"table": hull.lines_table if isinstance(read_kept(hull.lines_table), Offsets) else ""}


def _rows(request: FloorRequest, hull: Hull, *, bound: bool = False) -> TapedRows:
    found = read_kept(hull.lines_table)
    taped = () if isinstance(found, Offsets) else found
    given: dict[str, Any] = {"hull": hull, "taped": taped, "units": UnitSystem(request.shop.units)}
    return cast(TapedRows, TapedFormSet(request.POST, **given) if bound else TapedFormSet(**given))

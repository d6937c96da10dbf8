"""Hours and days off: everybody's week, whoever is away, the shop's closing days, and public holidays."""

from datetime import date, timedelta

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.access import crew, me, shop_owner
from shop.forms.hours import DayForm, DaysOffForm, week_forms
from shop.holidays_here import public_holidays
from shop.middleware import ShopRequest
from shop.models import CrewMember, DayOff
from shop.services.hours import add_days_off, remove_days_off, set_week, work_holiday
from shop.week_shown import closings, holidays_ahead, weeks_shown
from shop.working_hours import hands

REFUSED = 422


@require_safe
@never_cache
@crew
def hours(request: ShopRequest) -> HttpResponse:
    """Show everybody's week, and which days are off."""
    return _overview(request, DaysOffForm())


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def hours_of_person(request: ShopRequest, pk: int) -> HttpResponse:
    """Show the week of a person as a form; by POST, keep it."""
    person = _person(request, pk)
    days = week_forms(list(person.work_days.all()), request.POST if request.method == "POST" else None)
    if request.method != "POST":
        return _week(request, person, days, DaysOffForm())
    valid = [day.is_valid() for day in days]  # all of them, so that each shows what is wrong with it
    if not all(valid):
        return _week(request, person, days, DaysOffForm(), status=REFUSED)
    set_week(person=person, week={weekday: day.hours for weekday, day in enumerate(days)})
    messages.success(request, _("The hours of %(name)s are noted.") % {"name": person.called})
    return redirect("hours")


@require_POST
@crew
def days_off_of_person(request: ShopRequest, pk: int) -> HttpResponse:
    """Note days off of a person."""
    person = _person(request, pk)
    form = DaysOffForm(request.POST)
    if not form.is_valid():
        return _week(request, person, week_forms(list(person.work_days.all())), form, status=REFUSED)
    said = form.cleaned_data
    add_days_off(person=person, first=said["first"], last=said["last"], reason=said["reason"])
    messages.success(request, _("Noted: %(name)s is off.") % {"name": person.called})
    return redirect("hours_of_person", pk)


@require_POST
@shop_owner
def closing_days(request: ShopRequest) -> HttpResponse:
    """Note days on which the shop is closed."""
    form = DaysOffForm(request.POST)
    if not form.is_valid():
        return _overview(request, form, status=REFUSED)
    said = form.cleaned_data
    add_days_off(person=None, first=said["first"], last=said["last"], reason=said["reason"])
    messages.success(request, _("Noted: the shop is closed then."))
    return redirect("hours")


@require_POST
@crew
def remove_off(request: ShopRequest, pk: int) -> HttpResponse:
    """Take days off back: one's own; the shop's owner, anybody's and the closing days."""
    row = DayOff.objects.filter(pk=pk).first()
    if row is not None and not me(request).is_shop_owner and row.person_id != me(request).pk:
        raise PermissionDenied
    remove_days_off(number=pk)
    messages.success(request, _("Taken back."))
    return redirect("hours_of_person", row.person_id) if row and row.person_id else redirect("hours")


@require_POST
@shop_owner
def holiday(request: ShopRequest, day: str) -> HttpResponse:
    """Work on a public holiday, or leave it free."""
    try:
        on = date.fromisoformat(day)
    except ValueError as error:
        raise Http404 from error
    if on not in public_holidays(request.shop.country, request.shop.region, [on.year]):
        raise Http404
    work_holiday(day=on, worked=request.POST.get("worked") == "yes")
    return redirect("hours")


def _person(request: ShopRequest, pk: int) -> CrewMember:
    """Whose hours they are: one's own, or anybody's for the shop's owner."""
    person = get_object_or_404(hands(), pk=pk)
    if not me(request).is_shop_owner and person != me(request):
        raise PermissionDenied
    return person


def _overview(request: ShopRequest, form: DaysOffForm, status: int = 200) -> HttpResponse:
    today = timezone.localdate()
    shown = {
        "people": weeks_shown(today),
        "closings": closings(today),
        "holidays": holidays_ahead(request.shop, today),
        "form": form,
    }
    return render(request, "shop/hours.html", shown, status=status)


def _week(
    request: ShopRequest, person: CrewMember, days: list[DayForm], form: DaysOffForm, status: int = 200
) -> HttpResponse:
    off = person.days_off.filter(last__gte=timezone.localdate() - timedelta(days=7))
    shown = {"person": person, "days": days, "form": form, "off": off}
    return render(request, "shop/hours_of_person.html", shown, status=status)

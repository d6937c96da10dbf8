"""What a boat's owner sends from behind the progress link: words, the day on which they come, a colour."""

from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone

from stages.engine.errors import EngineError
from stages.forms.colours import ChooseForm
from stages.forms.thread import AskForm, CollectForm
from stages.models import HullWork
from stages.queries.thread import colour_of
from stages.services.colours import choose_colour
from stages.services.orders import Guest
from stages.services.thread import Heard, ask_shop, propose_day
from stages.views.agreeing import SeeOther, secret_post
from stages.views.floor import FloorRequest
from stages.views.progress import Refused, opened, owner_page, unknown_link


@secret_post
def ask(request: FloorRequest, token: str) -> HttpResponse:
    """Keep what a boat's owner asks or tells the shop."""
    row, form = opened(token), AskForm(request.POST)
    if row is None:
        return unknown_link(request.shop)
    if form.is_valid():
        try:
            heard = ask_shop(hull_id=row.pk, written=form.written(), guest=_guest(form))
            return _heard(request, row, token, heard, Refused(ask=form, retry_at=heard.retry_at))
        except EngineError as error:
            form.blame(error)
    return owner_page(request, row, token, Refused(ask=form))


@secret_post
def collect(request: FloorRequest, token: str) -> HttpResponse:
    """Keep the day on which a boat's owner comes for it."""
    row, form = opened(token), CollectForm(request.POST)
    if row is None:
        return unknown_link(request.shop)
    if form.is_valid():
        told = form.cleaned_data
        try:
            heard = propose_day(hull_id=row.pk, day=told["day"], words=told["words"], guest=_guest(form))
            return _heard(request, row, token, heard, Refused(collect=form, retry_at=heard.retry_at))
        except EngineError as error:
            form.blame(error)
    return owner_page(request, row, token, Refused(collect=form))


@secret_post
def choose_the_colour(request: FloorRequest, token: str) -> HttpResponse:
    """Keep the colour that a boat's owner chose."""
    row = opened(token)
    if row is None:
        return unknown_link(request.shop)
    form = ChooseForm(request.POST, about=colour_of(row.pk))
    if form.is_valid():
        told = form.cleaned_data
        try:
            choose_colour(hull_id=row.pk, ask=told["ask"], offer=told["offer"], words=told["words"], guest=_guest(form))
            return SeeOther(reverse("progress", kwargs={"token": token}) + "#colour")
        except EngineError as error:
            form.blame(error)
    return owner_page(request, row, token, Refused(colour=form))


def _heard(request: FloorRequest, row: HullWork, token: str, heard: Heard, flooded: Refused) -> HttpResponse:
    if heard.remark is not None:
        return SeeOther(reverse("progress", kwargs={"token": token}) + "#thread")
    answer = owner_page(request, row, token, flooded)
    assert heard.retry_at is not None
    answer["Retry-After"] = str(max(1, round((heard.retry_at - timezone.now()).total_seconds())))
    return answer


def _guest(form: AskForm | CollectForm | ChooseForm) -> Guest:
    return Guest(at=timezone.now(), client_id=form.cleaned_data["client_id"])

"""The shop's side of what it and a boat's owner write to each other, of the colour, and which owners wait."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from hulls.models import Hull
from shop.access import crew, me
from shop.middleware import ShopRequest
from stages.engine.errors import EngineError
from stages.forms.colours import OfferForm, TakeForm
from stages.forms.thread import ReplyForm, StrikeRemarkForm
from stages.queries.photos import for_the_crew, in_sight
from stages.queries.routes import engine_route
from stages.queries.thread import colour_of, lines_of, owners_who_wait, remarks_of
from stages.services.colours import ask_colour, take_colour, withdraw_colour
from stages.services.orders import Hand
from stages.services.thread import answer_owner, settle, strike_remark

REFUSED = 422
PAGE = "stages/thread.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """The form that came back to the thread's page, if one did; ``strike`` with the remark that it is about."""

    reply: ReplyForm | None = None
    strike: tuple[int, StrikeRemarkForm] | None = None
    offer: OfferForm | None = None
    take: TakeForm | None = None

    @property
    def any(self) -> bool:
        """Whether one did."""
        return any((self.reply, self.strike, self.offer, self.take))


@require_safe
@never_cache
@crew
def questions(request: ShopRequest) -> HttpResponse:
    """The boats whose owners wait for the shop."""
    return render(request, "stages/questions.html", {"waiting": owners_who_wait(timezone.now())})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@crew
def thread(request: ShopRequest, tag: str) -> HttpResponse:
    """The thread of a boat; a post writes to its owner."""
    hull = _hull(tag)
    if request.method != "POST":
        return _page(request, hull)
    form = ReplyForm(request.POST)
    if form.is_valid():
        try:
            answer_owner(hull_id=hull.pk, written=form.written(), hand=_hand(request, form))
            messages.success(request, _("It stands on the boat's page. A letter tells its owner, if they want any."))
            return redirect("thread", tag=tag)
        except EngineError as error:
            form.blame(error)
    return _page(request, hull, Refused(reply=form))


@require_POST
@never_cache
@crew
def thread_settle(request: ShopRequest, tag: str) -> HttpResponse:
    """Say that what a boat's owner wrote needs no answer."""
    if n := settle(hull_id=_hull(tag).pk, at=timezone.now()):
        says = ngettext("%(n)s remark is set aside.", "%(n)s remarks are set aside.", n)
        messages.success(request, says % {"n": n})
    return redirect("thread", tag=tag)


@require_POST
@never_cache
@crew
def thread_strike(request: ShopRequest, tag: str, pk: int) -> HttpResponse:
    """Strike a remark, with the reason."""
    hull, form = _hull(tag), StrikeRemarkForm(request.POST, about=pk)
    if form.is_valid():
        try:
            reason = form.cleaned_data["reason"]
            strike_remark(hull_id=hull.pk, remark=pk, reason=reason, by=me(request), at=timezone.now())
            return redirect("thread", tag=tag)
        except EngineError as error:
            form.blame(error)
    return _page(request, hull, Refused(strike=(pk, form)))


@require_POST
@never_cache
@crew
def colour_ask(request: ShopRequest, tag: str) -> HttpResponse:
    """Ask a boat's owner for its colour."""
    hull, form = _hull(tag), OfferForm(request.POST)
    if form.is_valid():
        try:
            open_to_words = form.cleaned_data["open_to_words"]
            ask_colour(hull_id=hull.pk, offers=form.offers(), open_to_words=open_to_words, hand=_hand(request, form))
            messages.success(request, _("Its owner finds the question on the boat's page."))
            return redirect("thread", tag=tag)
        except EngineError as error:
            form.blame(error)
    return _page(request, hull, Refused(offer=form))


@require_POST
@never_cache
@crew
def colour_take(request: ShopRequest, tag: str, pk: int) -> HttpResponse:
    """Take the chosen colour over into the boat's particulars."""
    hull, form = _hull(tag), TakeForm(request.POST)
    if form.is_valid():
        try:
            take_colour(hull_id=hull.pk, ask=pk, offer=form.offer(), by=me(request), at=timezone.now())
            messages.success(request, _("The boat's colour is kept."))
            return redirect("thread", tag=tag)
        except EngineError as error:
            form.blame(error)
    return _page(request, hull, Refused(take=form))


@require_POST
@never_cache
@crew
def colour_withdraw(request: ShopRequest, tag: str, pk: int) -> HttpResponse:
    """Ask for the colour no more."""
    withdraw_colour(hull_id=_hull(tag).pk, ask=pk, at=timezone.now())
    return redirect("thread", tag=tag)


def _hull(tag: str) -> Hull:
    hull = Hull.objects.select_related("owner", "work__route").filter(tag=tag.replace("\x00", "")).first()
    if hull is None:
        raise Http404(_("The shop has no hull with the tag %(tag)s.") % {"tag": tag})
    return hull


def _hand(request: ShopRequest, form: ReplyForm | OfferForm) -> Hand:
    return Hand(by=me(request), at=timezone.now(), client_id=form.cleaned_data["client_id"])


def _page(request: ShopRequest, hull: Hull, back: Refused | None = None) -> HttpResponse:
    back, now = back or Refused(), timezone.now()
    route = engine_route(hull.work.route)
    film = {photo.pk: for_the_crew(photo, route) for photo in in_sight(hull.pk)}
    lines, colour = lines_of(remarks_of(hull.pk), film, now), colour_of(hull.pk)
    begins = {"name": colour.name or colour.words[:40], "colour": colour.colour or hull.colour} if colour else None
    page = {
        "hull": hull,
        "lines": lines,
        "waits": any(line.waits and line.owner_s for line in lines),
        "strike": back.strike or _struck(request, [line.pk for line in lines if not line.struck]),
        "colour": colour,
        "reply": back.reply or ReplyForm(),
        "offer": back.offer or OfferForm(),
        "take": back.take or TakeForm(first=begins),
    }
    return render(request, PAGE, page, status=REFUSED if back.any else 200)


def _struck(request: ShopRequest, standing: list[int]) -> tuple[int, StrikeRemarkForm] | None:
    """The form that strikes the remark of the address, if it stands."""
    asked = request.GET.get("strike", "")
    found = next((pk for pk in standing if str(pk) == asked), None)
    return (found, StrikeRemarkForm(about=found)) if found is not None else None

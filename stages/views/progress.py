"""The page behind a boat owner's progress link. Whoever has the link sees this boat, and nobody logs in.

Pages are rendered without the request: no user, no session, no CSRF cookie can get into them.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone, translation
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_safe

from hulls.models import Estimate, EstimateKind, Owner
from hulls.photo_files import read
from hulls.photo_shown import Address
from hulls.photos.copies import SIDES
from shop.middleware import ShopRequest
from shop.models import Shop
from stages.forms.answer import AnswerForm
from stages.forms.colours import ChooseForm
from stages.forms.language import LanguageForm
from stages.forms.letters import LettersForm
from stages.forms.thread import AskForm, CollectForm
from stages.models import HullWork
from stages.queries.estimates import document_of
from stages.queries.progress import Progress, letters_wanted, open_link, progress_of, shared_photo, shared_time_lapse
from stages.queries.routes import engine_route

HEADERS = {
    "Cache-Control": "private, no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}
REFUSED, TOO_MANY = 422, 429
View = Callable[..., HttpResponseBase]


def with_headers(view: View) -> View:
    """Send a view's answers with the headers that keep a secret address secret; no cookie is made or asked for.

    They are in the language that the browser asks for, or from `opened` on in the one that the boat's owner chose.
    """
    bare = csrf_exempt(view)

    @wraps(bare)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        with translation.override(translation.get_language_from_request(request)):
            response = bare(request, *args, **kwargs)
        for name, value in HEADERS.items():
            response[name] = value
        return response

    return guarded


def secret(view: View) -> View:
    """Let a view behind a secret address only read; a write is refused as a wrong method."""
    return with_headers(require_safe(view))


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """The form that came back to the owner's page, if one did; ``retry_at`` says when there is room for it again."""

    answer: AnswerForm | None = None
    letters: LettersForm | None = None
    language: LanguageForm | None = None
    ask: AskForm | None = None
    collect: CollectForm | None = None
    colour: ChooseForm | None = None
    retry_at: datetime | None = None

    @property
    def status(self) -> int:
        """The answer's status."""
        forms = (self.answer, self.letters, self.language, self.ask, self.collect, self.colour)
        return TOO_MANY if self.retry_at else REFUSED if any(form is not None for form in forms) else 200


def opened(token: str) -> HullWork | None:
    """The hull that a token opens; from here on the answer is in the language that its owner chose."""
    row = open_link(token)
    if row is not None:
        speak_to(row.hull.owner)
    return row


def speak_to(owner: Owner) -> None:
    """Answer in the language that a boat's owner chose, if they chose one."""
    if owner.language:
        translation.activate(owner.language)


@secret
def progress(request: ShopRequest, token: str) -> HttpResponse:
    """Show a boat to its owner."""
    row = opened(token)
    if row is None:
        return unknown_link(request.shop)
    return owner_page(request, row, token)


def owner_page(
    request: ShopRequest,
    row: HullWork,
    token: str,
    back: Refused | None = None,
) -> HttpResponse:
    """The page of a boat as its owner sees it, with a form for each thing that waits for an answer, and for letters."""
    now, back = timezone.now(), back or Refused()
    boat = progress_of(row, pulse=request.pulse, shop=request.shop, now=now, address=_addresses(token))
    asks = [(document_of(ask, engine_route(row.route), now), _form(ask, row, back.answer)) for ask in boat.asks]
    page: dict[str, Any] = {
        "boat": boat,
        "shop": request.shop,
        "token": token,
        "asks": asks,
        "lost": _lost(boat, back, [form for _, form in asks]),
        "letters": back.letters or LettersForm(about=letters_wanted(token)),
        "language": back.language,
        "ask": back.ask
        or AskForm(first={"photo": _photo_asked_about(request, boat), "words": _without_place(boat, back)}),
        "collect": back.collect or CollectForm(first={"day": boat.comes_on}),
        "choose": back.colour or ChooseForm(about=boat.colour),
        "retry_at": back.retry_at,
    }
    page["about"] = next((photo for photo in boat.film if str(photo.pk) == str(page["ask"]["photo"].value())), None)
    return HttpResponse(render_to_string("stages/progress.html", page), status=back.status)


def _lost(boat: Progress, back: Refused, asks: list[AnswerForm]) -> list[str]:
    """What is wrong with a form whose place on the page is gone meanwhile."""
    gone = (
        back.answer if all(form is not back.answer for form in asks) else None,
        back.collect if not boat.may_collect else None,
        back.colour if boat.colour is None else None,
    )
    return [str(error) for form in gone if form is not None for errors in form.errors.values() for error in errors]


def _without_place(boat: Progress, back: Refused) -> str:
    """The words of such a form: they can be sent as a question."""
    gone = (
        back.collect if not boat.may_collect else None,
        back.colour if boat.colour is None or not boat.colour.waits else None,
    )
    return next((form.data.get("words", "") for form in gone if form is not None), "")


def _photo_asked_about(request: ShopRequest, boat: Progress) -> int | None:
    """The photo that the address names, if the boat's owner sees it."""
    return next((photo.pk for photo in boat.film if str(photo.pk) == request.GET.get("photo")), None)


def _form(ask: Estimate, row: HullWork, refused: AnswerForm | None) -> AnswerForm:
    """A change order, which stops the work, takes one click: the name stands there already."""
    if refused is not None and refused.is_about(ask):
        return refused
    typed = refused.data.get("name", "") if refused is not None else ""
    return AnswerForm(about=ask, name=typed or (row.hull.owner.name if ask.kind == EstimateKind.CHANGE_ORDER else ""))


@secret
def shared_photo_file(request: ShopRequest, token: str, pk: int, size: str) -> HttpResponseBase:
    """Send a copy of a photo that is shared with the boat's owner."""
    photo = shared_photo(token, pk) if size in SIDES else None
    return (photo and _sent(photo.name(size))) or unknown_link(request.shop)


@secret
def shared_time_lapse_file(request: ShopRequest, token: str) -> HttpResponseBase:
    """Send the time-lapse of the photos that are shared with the boat's owner."""
    name = shared_time_lapse(token)
    return (name and _sent(name)) or unknown_link(request.shop)


@secret
def unknown(request: ShopRequest) -> HttpResponse:
    """Answer every other address below: the same page as for a wrong token."""
    return unknown_link(request.shop)


def unknown_link(shop: Shop) -> HttpResponse:
    return HttpResponse(render_to_string("stages/progress_unknown.html", {"shop": shop}), status=404)


def _sent(name: str) -> HttpResponse | None:
    try:
        return HttpResponse(read(name), content_type="image/webp")
    except FileNotFoundError:
        return None


def _addresses(token: str) -> Address:
    def address(pk: int, size: str) -> str:
        return reverse("shared_photo", kwargs={"token": token, "pk": pk, "size": size})

    return address

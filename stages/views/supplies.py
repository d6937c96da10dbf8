"""The supplies page, open to everybody: what a boat needs and how much of it; as PDF; and a letter to the shop."""

from collections.abc import Callable
from functools import wraps
from typing import Any
from urllib.parse import parse_qsl

from django.conf import settings
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone, translation
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from hulls.lines import DEFAULT
from shop.middleware import ShopRequest
from shop.pdf import Paper, PdfError, pdf_of
from shop.units import UnitSystem
from stages.forms.enquiry import EnquiryForm
from stages.forms.language import LanguageForm
from stages.forms.supplies import SuppliesForm
from stages.queries.supplies import Asked, Supplies, first_look, supplies
from stages.queries.world import setup_at
from stages.services.enquiries import Letter, receive_enquiry

PAGE = "stages/supplies.html"
A_YEAR_S = 365 * 24 * 3600
REFUSED, TOO_MANY, NOT_NOW = 422, 429, 503
View = Callable[..., HttpResponse]


def open_to_all(view: View) -> View:
    """Open a view to everybody as long as the shop wants its supplies page seen, in the language that they read."""

    @wraps(view)
    def guarded(request: ShopRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not request.shop.supplies_public:
            raise Http404
        with translation.override(translation.get_language_from_request(request)):
            return view(request, *args, **kwargs)

    return guarded


@require_safe
@never_cache
@open_to_all
def supplies_page(request: ShopRequest) -> HttpResponse:
    """The form, and below it what the boat of the address needs; a long address leads to its short form."""
    form = _form(request)
    if not form.is_bound:
        return _page(request, form)
    if not form.is_valid():
        return _page(request, form, status=REFUSED)
    if parse_qsl(request.META["QUERY_STRING"]) != parse_qsl(form.canonical()):
        return redirect(_address("supplies", form))
    return _page(request, form, letter=EnquiryForm())


@require_safe
@never_cache
@open_to_all
def supplies_pdf(request: ShopRequest, paper: str) -> HttpResponse:
    """The same list as a PDF."""
    form = _form(request)
    if not form.is_bound or not form.is_valid():
        return _page(request, form, status=REFUSED)
    page = _shown(request, form)
    try:
        made = pdf_of(render_to_string("stages/supplies_pdf.html", page), request.build_absolute_uri(), Paper(paper))
    except PdfError as error:
        return _page(request, form, status=NOT_NOW, letter=EnquiryForm(), refused=str(error))
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="supplies.pdf"'
    return answer


@require_http_methods(["POST"])
@never_cache
@open_to_all
def supplies_enquiry(request: ShopRequest) -> HttpResponse:
    """Send the list to the shop; sent twice, it is kept once."""
    form, letter = _form(request), EnquiryForm(request.POST)
    if not form.is_bound or not form.is_valid():
        return _page(request, form, status=REFUSED)
    if not letter.is_valid():
        return _page(request, form, status=REFUSED, letter=letter)
    received = receive_enquiry(letter=_letter(request, form, letter), now=timezone.now())
    if received.retry_at:
        answer = _page(request, form, status=TOO_MANY, letter=letter, retry_at=received.retry_at)
        answer["Retry-After"] = str(max(1, round((received.retry_at - timezone.now()).total_seconds())))
        return answer
    if received.other_words:
        letter.refuse_other_words()
        return _page(request, form, status=REFUSED, letter=letter)
    return redirect(_address("supplies_sent", form))


@require_POST
@never_cache
@open_to_all
def supplies_language(request: ShopRequest) -> HttpResponse:
    """Remember the language in which somebody reads the page, in a cookie; there is no log-in to hang it on."""
    form = LanguageForm(request.POST)
    answer = redirect(f"{reverse('supplies')}?{request.POST.get('query', '')}")
    if form.is_valid():
        answer.set_cookie(
            settings.LANGUAGE_COOKIE_NAME,
            form.cleaned_data["language"],
            max_age=A_YEAR_S,
            secure=request.is_secure(),
            httponly=True,
            samesite="Lax",
        )
    return answer


@require_safe
@never_cache
@open_to_all
def supplies_sent(request: ShopRequest) -> HttpResponse:
    """Say that the shop has it."""
    form = _form(request)
    back = _address("supplies", form) if form.is_bound and form.is_valid() else reverse("supplies")
    return render(request, "stages/supplies_sent.html", {"shop": request.shop, "back": back})


def _form(request: ShopRequest) -> SuppliesForm:
    return SuppliesForm(request.GET, units=UnitSystem(request.shop.units))


def _address(name: str, form: SuppliesForm) -> str:
    return f"{reverse(name)}?{form.canonical()}"


def _page(request: ShopRequest, form: SuppliesForm, *, status: int = 200, **more: Any) -> HttpResponse:
    if form.is_bound and form.is_valid():
        page = _shown(request, form)
    else:
        page = {"form": form, "shop": request.shop, "example": first_look(DEFAULT)}
    asked = {"asked": request.META["QUERY_STRING"]}
    return render(request, PAGE, page | asked | more, status=status)


def _shown(request: ShopRequest, form: SuppliesForm) -> dict[str, Any]:
    """What the page and the PDF show of a boat."""
    query = form.canonical()
    link = request.build_absolute_uri(f"{reverse('supplies')}?{query}")
    return {"form": form, "shop": request.shop, "found": _found(request, form), "query": query, "link": link}


def _found(request: ShopRequest, form: SuppliesForm) -> Supplies:
    asked = Asked(
        hull=form.principal,
        hull_type=form.hull_type,
        answers=form.answers,
        air_c=form.cleaned_data["air"],
        rh_pct=form.cleaned_data["rh"],
        units=UnitSystem(form.cleaned_data["units"]),
    )
    return supplies(asked, setup_at(request.pulse))


def _letter(request: ShopRequest, form: SuppliesForm, letter: EnquiryForm) -> Letter:
    data = letter.cleaned_data
    with translation.override(settings.LANGUAGE_CODE):  # the shop reads it
        listed = {"said": form.said(), "needs": _found(request, form).needs.plain()}
    return Letter(
        name=data["name"],
        email=data["email"],
        words=data["words"],
        query=form.canonical(),
        listed=listed,
        token=data["token"],
        address=request.META["REMOTE_ADDR"],
    )

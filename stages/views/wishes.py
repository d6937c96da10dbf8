"""A boat's owner chooses what we write to them about, and stops it: behind a secret address, without a log-in.

The stop's address comes in every letter, in its words and in its head (RFC 8058). Looking at it changes nothing, since
mail services follow links to see what is behind them; only sending to it does.
"""

from django.http import HttpResponse
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from hulls.mail_tokens import link_to_stop
from hulls.models import ProgressLink, Wish
from shop.middleware import ShopRequest
from stages.forms.language import LanguageForm
from stages.forms.letters import LettersForm
from stages.queries.progress import letters_wanted
from stages.services.messages import choose_language, choose_letters, stop_letters
from stages.views.agreeing import SeeOther, secret_post
from stages.views.progress import Refused, opened, owner_page, speak_to, unknown_link, with_headers


@secret_post
def choose(request: ShopRequest, token: str) -> HttpResponse:
    """Keep what a boat's owner chose."""
    link = letters_wanted(token)
    if link is None:
        return unknown_link(request.shop)
    form = LettersForm(request.POST, about=link)
    if form.is_valid():
        choose_letters(link=link.pk, wish=Wish(form.cleaned_data["wish"]), weekly=form.cleaned_data["weekly"])
        return SeeOther(reverse("progress", kwargs={"token": token}) + "#letters")
    row = opened(token)
    return unknown_link(request.shop) if row is None else owner_page(request, row, token, Refused(letters=form))


@secret_post
def language(request: ShopRequest, token: str) -> HttpResponse:
    """Keep the language in which a boat's owner reads."""
    row = opened(token)
    if row is None:
        return unknown_link(request.shop)
    form = LanguageForm(request.POST)
    if not form.is_valid():
        return owner_page(request, row, token, Refused(language=form))
    choose_language(hull_id=row.pk, language=form.cleaned_data["language"])
    return SeeOther(reverse("progress", kwargs={"token": token}))


@with_headers
@require_http_methods(["GET", "HEAD", "POST"])
def stop(request: ShopRequest, token: str) -> HttpResponse:
    """Ask whether the letters are to stop, or stop them; without a redirect, which mail services do not follow.

    No cookie tells who sends: whoever knows the address may stop the letters.
    """
    return _stop(request, link_to_stop(token), token)


def _stop(request: ShopRequest, link: int | None, token: str) -> HttpResponse:
    row = ProgressLink.objects.filter(pk=link).select_related("hull__owner").first() if link is not None else None
    if row is None:
        return unknown_link(request.shop)
    speak_to(row.hull.owner)
    done = request.method == "POST" and stop_letters(link=row.pk)
    return HttpResponse(render_to_string("stages/stop.html", {"shop": request.shop, "token": token, "done": done}))

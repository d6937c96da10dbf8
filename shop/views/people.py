"""Log-in, log-out, and everybody's own page."""

from datetime import timedelta
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import add_never_cache_headers
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from shop.access import crew, lookers, me
from shop.kept_posts import KeptPost, remember, sealed, unsealed
from shop.models import CrewMember
from shop.services.people import log_out_everywhere, session_s


class LogIn(LoginView):
    """The log-in page; how long the session lasts hangs on the role."""

    template_name = "shop/login.html"
    redirect_authenticated_user = True

    def form_valid(self, form: Any) -> HttpResponse:
        """Log in, for as long as the role stays; what was filled in before is shown again to whoever did."""
        person: CrewMember = form.get_user()
        response = super().form_valid(form)
        self.request.session.set_expiry(session_s(person))
        if text := self.request.POST.get("kept"):
            response = _send_again(self.request, person, text) or response
        remember(response, person, secure=settings.SESSION_COOKIE_SECURE)
        return response

    def get_success_url(self) -> str:
        """Where to go afterwards; nobody is sent round in a ring."""
        url: str = super().get_success_url()
        return self.get_default_redirect_url() if urlsplit(url).path == self.request.path else url

    def get_context_data(self, **more: Any) -> dict[str, Any]:
        """A wrong password does not lose what was filled in before."""
        return super().get_context_data(**{"kept": self.request.POST.get("kept", ""), **more})


def log_in_first(request: HttpRequest, kept: KeptPost) -> HttpResponse:
    """The log-in page, with what was sent without a log-in in it."""
    text = sealed(kept)
    page = {"form": AuthenticationForm(request), "next": "/", "kept": text, "is_too_long": not text}
    answer = render(request, LogIn.template_name, page, status=401)
    add_never_cache_headers(answer)
    return answer


def _send_again(request: HttpRequest, person: CrewMember, text: str) -> HttpResponse | None:
    """The page that shows what was filled in; None where that is nobody's, somebody else's, or too old."""
    kept = unsealed(text)
    if kept is None:
        messages.warning(request, _("What was filled in before the log-in was kept for an hour. It is gone by now."))
        return None
    if not kept.is_of(person):
        messages.warning(request, _("What was filled in before the log-in is somebody else’s. It was not sent."))
        return None
    answer = render(request, "shop/send_again.html", {"kept": kept})
    add_never_cache_headers(answer)
    return answer


def locked_out(request: HttpRequest, response: HttpResponse | None, credentials: Any = None) -> HttpResponse:
    """Say that a log-in is closed for a while after too many wrong passwords; django-axes calls this."""
    closed_for: timedelta = settings.AXES_COOLOFF_TIME
    page = {
        "tries": settings.AXES_FAILURE_LIMIT,
        "minutes": round(closed_for.total_seconds() / 60),
        "kept": request.POST.get("kept", ""),
    }
    answer = render(request, "shop/locked_out.html", page, status=429)
    answer["Retry-After"] = str(int(closed_for.total_seconds()))
    return answer


@require_safe
@lookers
def own_page(request: HttpRequest) -> HttpResponse:
    """Show whoever is logged in their own page."""
    form = PasswordChangeForm(me(request))
    form.fields["old_password"].widget.attrs.pop("autofocus")  # on a phone it would call up the keyboard
    return _own_page(request, form)


@sensitive_post_parameters()
@require_POST
@crew
def change_password(request: HttpRequest) -> HttpResponse:
    """Change one's own password; every other session of that log-in ends with it."""
    form = PasswordChangeForm(me(request), request.POST)
    if not form.is_valid():
        return _own_page(request, form, status=422)
    form.save()
    update_session_auth_hash(request, me(request))
    messages.success(request, _("Your password is changed. Other devices must log in with the new one."))
    return redirect("me")


@require_POST
@crew
def log_out_others(request: HttpRequest) -> HttpResponse:
    """End every session of this log-in but the present one."""
    update_session_auth_hash(request, log_out_everywhere(person=me(request)))
    messages.success(request, _("Your other sessions are logged out."))
    return redirect("me")


def _own_page(request: HttpRequest, form: PasswordChangeForm, status: int = 200) -> HttpResponse:
    return render(request, "shop/me.html", {"form": form}, status=status)

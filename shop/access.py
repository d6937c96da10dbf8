"""Who may open what: one decorator a role, on top of the log-in."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django_htmx.http import HttpResponseClientRefresh

from shop.models import CrewMember

View = Callable[..., HttpResponse]


def me(request: HttpRequest) -> CrewMember:
    """The crew member who is logged in."""
    return cast(CrewMember, request.user)


def _only(test: Callable[[CrewMember], bool]) -> Callable[[View], View]:
    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if not request.user.is_authenticated:
                return _to_the_log_in(request)
            if not test(me(request)):
                raise PermissionDenied
            return view(request, *args, **kwargs)

        return guarded

    return decorate


def _to_the_log_in(request: HttpRequest) -> HttpResponse:
    """Lead to the log-in page; a part of a page has the whole page loaded anew, which then leads there.

    A form that the page sends by itself is left where it is, with all that was typed: the page says so.
    """
    if request.headers.get("HX-Request"):
        return HttpResponseClientRefresh() if request.method in ("GET", "HEAD") else HttpResponse(status=401)
    return redirect_to_login(request.get_full_path())


lookers = _only(lambda person: True)  # anybody with a log-in, the wall screen too
crew = _only(lambda person: person.may_work)
shop_owner = _only(lambda person: person.is_shop_owner)

"""A form that is sent after the log-in has ended is not lost: the log-in page takes it along."""

from collections.abc import Callable
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from shop.kept_posts import kept_of
from shop.views.people import log_in_first


class KeepsWhatWasTyped:
    """Answers a plain form that is led to the log-in with the log-in page itself, which keeps what was filled in.

    What htmx and a phone's queue send stays where it is: they get a 401. Who is logged in, and led there for want of a
    right, was never logged out.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request."""
        response = self.get_response(request)
        if request.method != "POST" or request.user.is_authenticated or not _leads_to_the_log_in(response):
            return response
        kept = kept_of(request)
        return log_in_first(request, kept) if kept else response


def _leads_to_the_log_in(response: HttpResponse) -> bool:
    return response.status_code == 302 and urlsplit(response["Location"]).path in (
        settings.LOGIN_URL,
        reverse("admin:login"),
    )

"""The type of what Django's test client answers: a response that remembers its request, context and redirects."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse as Answer
else:
    from django.http import HttpResponse as Answer

__all__ = ["Answer"]

"""What somebody had filled in when their log-in ended: it travels through the log-in in the page itself, signed.

Nothing of it is stored, and nothing is done before whoever filled it in has logged in, read it, and sent it again.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from shop.models import CrewMember

SALT, COOKIE = "shop.kept_posts", "last_here"
MOST_BYTES: Final = 100_000
MOST_AGE_S: Final = 3600
COOKIE_AGE_S: Final = 400 * 24 * 3600  # longer than any log-in lasts
NOT_TYPED: Final = ("client_id", "who", "pressed_at")
STROKES: Final = re.compile(r"[\d,; ]{40,}")
NEVER_KEPT: Final = ("csrfmiddlewaretoken", "kept")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPost:
    """A form that was sent without a log-in.

    Parameters
    ----------
    path : str
        Where it was sent to.
    who : int or None
        Who was logged in last on that browser; None where nobody knows.
    fields : tuple of pairs
        Names and values, in their order; no passwords.
    may_lack_files : bool
        Whether files may have come with it: those of a stranger are never read (`shop.uploads`).
    """

    path: str
    who: int | None
    fields: tuple[tuple[str, str], ...]
    may_lack_files: bool

    def is_of(self, person: CrewMember) -> bool:
        """Whether this person may see it."""
        return self.who in (None, person.pk)

    @property
    def typed(self) -> Iterator[tuple[str, str]]:
        """What a person filled in, by the names of the fields in words; of ticks their number alone."""
        by_name: dict[str, list[str]] = {}
        for name, value in self.fields:
            if value and name not in NOT_TYPED and not name.startswith("_") and not name.endswith("_FORMS"):
                by_name.setdefault(name, []).append(value)
        for name, values in by_name.items():
            yield name.replace("_", " ").replace("-", " ").capitalize(), _in_words(values)


def _in_words(values: list[str]) -> str:
    if len(values) > 1:
        return _("%(n)s chosen") % {"n": len(values)}
    return _("is kept") if STROKES.fullmatch(values[0]) else values[0]


def kept_of(request: HttpRequest) -> KeptPost | None:
    """What a request without a log-in brought; None where that was nothing."""
    pairs = ((name, value) for name in request.POST for value in request.POST.getlist(name))
    fields = tuple((name, value) for name, value in pairs if name not in NEVER_KEPT and "password" not in name)
    if not fields:
        return None
    with_files = request.content_type == "multipart/form-data"
    return KeptPost(path=request.get_full_path(), who=_last_here(request), fields=fields, may_lack_files=with_files)


def sealed(kept: KeptPost) -> str:
    """A form as a text for a hidden field; empty where it is too long to travel."""
    if sum(len(name.encode()) + len(value.encode()) for name, value in kept.fields) > MOST_BYTES:
        return ""
    return signing.dumps([kept.path, kept.who, kept.fields, kept.may_lack_files], salt=SALT, compress=True)


def unsealed(text: str) -> KeptPost | None:
    """The form that a text holds; None where the text is not ours, or older than an hour."""
    try:
        path, who, fields, with_files = signing.loads(text, salt=SALT, max_age=MOST_AGE_S)
    except signing.BadSignature:
        return None
    pairs = tuple((name, value) for name, value in fields)
    return KeptPost(path=path, who=who, fields=pairs, may_lack_files=with_files)


def remember(response: HttpResponse, person: CrewMember, *, secure: bool) -> None:
    """Have the browser remember who logged in, beyond the end of the session; it opens nothing."""
    response.set_signed_cookie(
        COOKIE, str(person.pk), salt=SALT, max_age=COOKIE_AGE_S, httponly=True, samesite="Lax", secure=secure
    )


def _last_here(request: HttpRequest) -> int | None:
    told = request.get_signed_cookie(COOKIE, default=None, salt=SALT)
    return int(told) if told else None

"""A token that a page carries in its form: it tells when the page was made, and is good for one message.

It keeps out programs that post without reading the page, or faster than a person types, without asking a third party.
"""

import secrets
import time
from dataclasses import dataclass
from enum import Enum, auto

from django.core import signing

SALT = "shop.page_token"
LEAST_AGE_S = 4.0
MOST_AGE_S = 6 * 3600.0


class TokenProblem(Enum):
    """Why a token does not count."""

    FALSE = auto()
    TOO_YOUNG = auto()
    TOO_OLD = auto()


@dataclass(frozen=True, slots=True)
class PageToken:
    """A token that was read: its own number, which nobody else has, or what is wrong with it."""

    number: str = ""
    problem: TokenProblem | None = None


def new_page_token() -> str:
    """Make a token for a page that is made now."""
    return signing.dumps([secrets.token_urlsafe(12), time.time()], salt=SALT)


def read_page_token(text: str) -> PageToken:
    """Read a token that came back.

    Parameters
    ----------
    text : str
        What the form sent.

    Returns
    -------
    PageToken
        With its number where it is the shop's own, and between 4 s and 6 h old.
    """
    try:
        number, made_at = signing.loads(text, salt=SALT)
    except signing.BadSignature:
        return PageToken(problem=TokenProblem.FALSE)
    age_s = time.time() - made_at
    if age_s < -LEAST_AGE_S:  # the clock was set back: waiting would not help, a new token does
        return PageToken(problem=TokenProblem.FALSE)
    if age_s < LEAST_AGE_S:
        return PageToken(problem=TokenProblem.TOO_YOUNG)
    if age_s > MOST_AGE_S:
        return PageToken(problem=TokenProblem.TOO_OLD)
    return PageToken(number=number)

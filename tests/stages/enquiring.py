"""Letters to the shop, as the supplies page hands them over."""

from datetime import UTC, datetime
from itertools import count
from typing import Any

from hulls.models import Enquiry
from stages.services.enquiries import Letter, receive_enquiry

NOON = datetime(2031, 5, 5, 12, 0, tzinfo=UTC)
BOAT = "length=16+ft&beam=34+in&depth=12+in&ends=23+in&units=us"
_numbers = count()


def a_letter(**changes: Any) -> Letter:
    """A letter that nobody has sent before."""
    number = next(_numbers)
    usual = {
        "name": "Ada Reed",
        "email": "ada@example.org",
        "words": f"Could you do the canvas? {number}",
        "query": BOAT,
        "listed": {"said": [["Length over all", "16 ft"]]},
        "token": f"token-{number}",
        "address": "203.0.113.7",  # RFC 5737: for documentation
    }
    return Letter(**usual | changes)


def an_enquiry(now: datetime = NOON, **changes: Any) -> Enquiry:
    """An enquiry that came."""
    made = receive_enquiry(letter=a_letter(**changes), now=now).enquiry
    assert made is not None
    return made

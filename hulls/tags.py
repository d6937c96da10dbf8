"""What may be a hull's tag: it stands in the address of its sheet."""

import re

_PART = r"[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?"
PATTERN = rf"{_PART}(?:/{_PART})*"
WORDS_OF_THE_SITE = frozenset(  # they stand in addresses of sheets
    {
        "new",
        "import",
        "change",
        "part",
        "do",
        "coats",
        "photos",
        "estimate",
        "estimates",
        "change-order",
        "bill",
        "finish-record",
        "thread",
        "colour",
    }
)


def is_tag(text: str) -> bool:
    """Whether a text can be a tag: letters, digits, dots and dashes, slashes between parts, and no word of the site."""
    return re.fullmatch(PATTERN, text) is not None and WORDS_OF_THE_SITE.isdisjoint(text.lower().split("/"))

"""The secrets that letters carry. None is kept: each is the link's number, signed with the shop's secret key.

Whoever reads the database, the out-tray or a backup can make none of them. A withdrawn link opens nothing whatever was
signed for it. The address that stops letters is signed for that alone, since mail services press it too.
"""

from django.core.signing import BadSignature, Signer

OPENS, STOPS = "hulls.mail.opens", "hulls.mail.stops"
SEP = "."  # no random token has it


def mail_token(link: int) -> str:
    """The token of a link as a letter carries it."""
    return _signed(OPENS, link)


def link_of_mail(token: str) -> int | None:
    """The number of the link that a letter's token opens; None for any other text."""
    return _read(OPENS, token)


def stop_token(link: int) -> str:
    """The token that stops the letters of a link, and does nothing else."""
    return _signed(STOPS, link)


def link_to_stop(token: str) -> int | None:
    """The number of the link whose letters a token stops; None for any other text."""
    return _read(STOPS, token)


def _signed(salt: str, link: int) -> str:
    return Signer(salt=salt, sep=SEP).sign(str(link))


def _read(salt: str, token: str) -> int | None:
    try:
        return int(Signer(salt=salt, sep=SEP).unsign(token))
    except (BadSignature, UnicodeError):
        return None

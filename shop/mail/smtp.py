"""Handing a letter to the mail server, and what became of it."""

import smtplib
from dataclasses import dataclass
from enum import Enum, auto

from django.conf import settings
from django.core.mail.backends.smtp import EmailBackend
from django.utils.translation import gettext_noop

from shop.models import Shop

OFF_DEMO = gettext_noop("This is the demo shop: it writes to nobody.")
OFF_NO_SERVER = gettext_noop("Mail is off: no mail server is set.")
OFF_NO_SENDER = gettext_noop("The shop has no e-mail address of its own to write from.")
PERMANENT = 500  # RFC 5321, 4.2.1: a reply of 5yz is for good, one of 4yz is not


class Fate(Enum):
    """What became of a letter."""

    TAKEN = auto()
    REFUSED = auto()
    LATER = auto()


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of a letter, and the server's own words."""

    fate: Fate
    words: str = ""


def why_off(shop: Shop) -> str:
    """Why nothing is sent, as the text of a message; empty where mail is on."""
    if shop.is_demo:
        return OFF_DEMO
    if not settings.MAIL_URL:
        return OFF_NO_SERVER
    return "" if sender_of(shop) else OFF_NO_SENDER


def sender_of(shop: Shop) -> str:
    """The address that letters come from and bounces go to; empty where there is none."""
    return settings.MAIL_FROM or shop.email


def hand_over(*, content: bytes, sender: str, to: str) -> Answer:
    """Give a letter to the mail server.

    Parameters
    ----------
    content : bytes
        The whole letter.
    sender, to : str
        The envelope's addresses, in ASCII.

    Returns
    -------
    Answer
        Taken; refused for good; or to be tried again, which is also the answer where the connection broke before the
        server's last word. Then the letter may have been taken all the same.
    """
    # The class by name: the setting of Django's backend is for whoever sends without waiting for the answer.
    backend = EmailBackend(timeout=settings.EMAIL_TIMEOUT)
    try:
        backend.open()
        server = backend.connection
        assert server is not None
        server.sendmail(sender, [to], content)
    except smtplib.SMTPRecipientsRefused as error:
        code, words = next(iter(error.recipients.values()))
        return _answer(code, words)
    except smtplib.SMTPResponseException as error:
        return _answer(error.smtp_code, error.smtp_error)
    except (OSError, smtplib.SMTPException) as error:
        return Answer(Fate.LATER, _shown(str(error)))
    finally:
        _hang_up(backend)
    return Answer(Fate.TAKEN)


def _answer(code: int, words: bytes | str) -> Answer:
    text = words.decode("utf-8", "replace") if isinstance(words, bytes) else words
    return Answer(Fate.REFUSED if code >= PERMANENT else Fate.LATER, _shown(f"{code} {text}"))


def _shown(words: str) -> str:
    return " ".join("".join(letter if letter.isprintable() else " " for letter in words).split())[:400]


def _hang_up(backend: EmailBackend) -> None:
    """Close the connection; the letter's fate is known, so a server that does not say good-bye is no matter."""
    server = backend.connection
    if server is not None:
        server.close()

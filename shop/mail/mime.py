"""A letter as the bytes that go over the wire (RFC 5322, MIME), the same every time it is made.

Names in any script are encoded words (RFC 2047); a name or a subject can hold no line's end, so that nobody writes a
header of their own into a letter.
"""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.encoding import punycode

POLICY = SMTP.clone(cte_type="7bit")
LONGEST_ADDRESS = 254  # RFC 5321, 4.5.3.1.3, less the angle brackets
NOT_SHOWN = frozenset({"Cc", "Cs", "Zl", "Zp"})


class AddressError(ValueError):
    """This is no address that a letter can go to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A small JPEG inside a letter, under the name that its HTML calls it by."""

    name: str
    jpeg: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """Everything that a letter is made of.

    Parameters
    ----------
    number : UUID
        Its own number, from which come what parts its parts.
    message_id : str
        Its Message-ID, with angle brackets.
    at : datetime
        Its date, aware.
    sender_name, sender, to_name, to : str
        From whom and to whom; the names may be empty.
    subject, text, html : str
        Its words.
    pictures : tuple of Picture
        What the HTML shows as ``cid:`` and the picture's name.
    headers : mapping of str to str
        More headers, whose values are the program's own.
    """

    number: UUID
    message_id: str
    at: datetime
    sender_name: str
    sender: str
    to_name: str
    to: str
    subject: str
    text: str
    html: str
    pictures: tuple[Picture, ...] = ()
    headers: Mapping[str, str] = field(default_factory=dict)

    def __bytes__(self) -> bytes:
        """Write it, with CRLF and in seven bits.

        Raises
        ------
        AddressError
            When it goes to or comes from what is no address.
        """
        mail = EmailMessage(policy=POLICY)
        mail["From"] = _address(self.sender_name, self.sender)
        mail["To"] = _address(self.to_name, self.to)
        mail["Subject"] = one_line(self.subject)
        mail["Date"] = format_datetime(self.at)
        mail["Message-ID"] = self.message_id
        mail["Auto-Submitted"] = "auto-generated"  # RFC 3834: no holiday notice answers it
        for name, value in self.headers.items():
            mail[name] = value
        mail.set_content(self.text, cte="quoted-printable")
        mail.add_alternative(self.html, subtype="html", cte="quoted-printable")
        self._add_pictures(mail)
        return mail.as_bytes()

    def _add_pictures(self, mail: EmailMessage) -> None:
        page = mail.get_payload(1)
        assert isinstance(page, EmailMessage)
        for picture in self.pictures:
            page.add_related(
                picture.jpeg,
                maintype="image",
                subtype="jpeg",
                cid=f"<{picture.name}>",
                disposition="inline",
                filename=f"{picture.name}.jpg",
            )
        if self.pictures:
            page.set_boundary(f"=_related_{self.number.hex}")
        mail.set_boundary(f"=_letter_{self.number.hex}")


def wire_address(address: str) -> str:
    """An address as mail servers take it: in ASCII, a domain in another script as its A-labels (RFC 5890).

    Raises
    ------
    AddressError
        When it is no address.
    """
    local, _at, domain = address.strip().rpartition("@")
    try:
        wire = f"{local}@{punycode(domain)}"
        validate_email(wire)
        wire.encode("ascii")
    except (ValidationError, UnicodeError) as error:
        raise AddressError(address) from error
    if len(wire) > LONGEST_ADDRESS or any(letter.isspace() for letter in wire):
        raise AddressError(address)
    return wire


def one_line(text: str) -> str:
    """A text that is fit for a header: no line's end, no control character, nothing that reads as an encoded word."""
    shown = "".join(" " if unicodedata.category(letter) in NOT_SHOWN else letter for letter in text)
    return " ".join(shown.replace("=?", "= ?").split())


def _address(name: str, address: str) -> Address:
    local, _at, domain = wire_address(address).rpartition("@")
    return Address(display_name=one_line(name), username=_unquoted(local), domain=domain)


def _unquoted(local: str) -> str:
    """A local part as `Address` takes it: it quotes by itself what needs it."""
    if local.startswith('"') and local.endswith('"'):
        return local[1:-1].replace('\\"', '"').replace("\\\\", "\\")
    return local

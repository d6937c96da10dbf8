"""Reading a bounce: a delivery status notification as RFC 3464 has it, inside a report as RFC 6522 has it."""

import email
import re
from dataclasses import dataclass
from email.message import EmailMessage, Message
from email.policy import default

ID = re.compile(r"<[^<>\s]+>")
FAILED = "failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounce:
    """A letter that came back: its Message-ID, the status code (RFC 3463), and the mail server's words."""

    message_id: str
    status: str
    words: str


def read_bounce(content: bytes) -> Bounce | None:
    """Read a file; None for any other letter, and for notices of delay or of success.

    Parameters
    ----------
    content : bytes
        A whole message, as a mailbox keeps it.
    """
    mail = email.message_from_bytes(content, policy=default)
    assert isinstance(mail, EmailMessage)
    if mail.get_content_type() != "multipart/report" or mail.get_param("report-type") != "delivery-status":
        return None
    failed = next((group for group in _groups(mail) if _field(group, "Action").lower() == FAILED), None)
    message_id = _returned_id(mail)
    if failed is None or not message_id:
        return None
    return Bounce(
        message_id=message_id,
        status=_field(failed, "Status").partition(" ")[0][:12],  # a comment may follow
        words=_field(failed, "Diagnostic-Code").partition(";")[2].strip()[:400],
    )


def _groups(mail: EmailMessage) -> list[Message]:
    """The groups of fields of the report, the one on the message itself among them."""
    parts = [part for part in mail.walk() if part.get_content_type() == "message/delivery-status"]
    return [group for part in parts for group in part.get_payload() if isinstance(group, Message)]


def _returned_id(mail: EmailMessage) -> str:
    """The Message-ID of the letter that came back: the report's last part is that letter, or its head."""
    for part in mail.walk():
        kind = part.get_content_type()
        payload = part.get_payload()
        if kind == "message/rfc822" and isinstance(payload, list) and isinstance(payload[0], Message):
            return _found_id(str(payload[0].get("Message-ID", "")))
        if kind == "text/rfc822-headers":
            raw = part.get_payload(decode=True)
            head = email.message_from_bytes(raw if isinstance(raw, bytes) else b"", policy=default)
            return _found_id(str(head.get("Message-ID", "")))
    return ""


def _found_id(text: str) -> str:
    found = ID.search(text)
    return found.group() if found else ""


def _field(group: Message, name: str) -> str:
    return " ".join(str(group.get(name, "")).split())

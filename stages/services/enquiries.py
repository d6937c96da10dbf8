"""Enquiries: taken in from whoever writes, turned into hulls or closed by the shop's owner."""

import ipaddress
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac

from hulls.models import Enquiry, EnquiryState, Hull
from hulls.wording import gettext_noop
from shop.models import CrewMember, Pulse
from stages.engine.errors import EngineError
from stages.engine.vocab import Surface
from stages.services.arrival import take_in
from stages.services.orders import Hand
from stages.services.texts import checked_reason

# A person writes once or twice; a shop gets a few a week. Past that it is a flood, and the telephone still works.
FROM_ONE, FROM_ONE_IN = 5, timedelta(hours=1)
FROM_ALL, FROM_ALL_IN = 60, timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What somebody writes to the shop, checked by the form.

    Parameters
    ----------
    name, email, words : str
        Who writes, and what.
    query : str
        Their boat and what it needs, as the share link holds it.
    listed : dict
        The list as they saw it, in plain words.
    token : str
        The page token's number.
    address : str
        Where it came from, as the web server knows it.
    """

    name: str
    email: str
    words: str
    query: str
    listed: dict[str, Any]
    token: str
    address: str

    @property
    def digest(self) -> str:
        """The same for the same words about the same boat."""
        return sha256("\x1f".join((self.name, self.email.lower(), self.words, self.query)).encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """What became of a letter: it was kept, now or when it was sent before; or there were too many.

    Parameters
    ----------
    enquiry : Enquiry or None
        None when it was refused.
    repeated : bool
        It had been sent before.
    other_words : bool
        What the same page had sent before said something else: this letter was not kept.
    retry_at : datetime or None
        When the next one is taken, for one that was refused.
    """

    enquiry: Enquiry | None = None
    repeated: bool = False
    other_words: bool = False
    retry_at: datetime | None = None


def receive_enquiry(*, letter: Letter, now: datetime) -> Received:
    """Keep a letter: once, however often it is sent, and not more than a person writes.

    Writes one enquiry, or nothing where the same page's token or the same words had come before, or where too many came
    from one address or from all of them together.
    """
    with transaction.atomic():
        _take_turn()
        if before := _sent_before(letter):
            return Received(enquiry=before, repeated=True, other_words=before.digest != letter.digest)
        sender = sender_of(letter.address)
        if retry_at := _flooded(sender, now):
            return Received(retry_at=retry_at)
        made = Enquiry.objects.create(
            made_at=now,
            name=letter.name,
            email=letter.email,
            words=letter.words,
            query=letter.query,
            listed=letter.listed,
            token=letter.token,
            digest=letter.digest,
            sender=sender,
        )
    return Received(enquiry=made)


def enquiry_into_hull(*, enquiry: int, hull: Hull, hand: Hand, old_finish: Iterable[Surface]) -> Hull:
    """Take a hull in for an enquiry; one that became a hull before gives that hull.

    Raises
    ------
    EngineError
        When it was closed, or the hull cannot be taken in (`stages.services.arrival.take_in`).
    """
    with transaction.atomic():
        row = Enquiry.objects.select_for_update().get(pk=enquiry)
        if row.hull_id is not None:
            return Hull.objects.get(pk=row.hull_id)
        if not row.is_open:
            raise EngineError("enquiry", gettext_noop("This enquiry was closed. Take the hull in without it."))
        take_in(hull=hull, hand=hand, old_finish=old_finish)
        _decide(row, EnquiryState.HULL, hand.by, hull=hull)
    return hull


def close_enquiry(*, enquiry: int, reason: str, by: CrewMember) -> Enquiry:
    """Close an enquiry with a reason; closed again, it keeps the first one.

    Raises
    ------
    EngineError
        Without a reason, or when it became a hull.
    """
    reason = checked_reason(reason)
    with transaction.atomic():
        row = Enquiry.objects.select_for_update().get(pk=enquiry)
        if row.state == EnquiryState.HULL:
            raise EngineError("reason", gettext_noop("This enquiry became a hull and cannot be closed."))
        if row.is_open:
            _decide(row, EnquiryState.CLOSED, by, reason=reason)
    return row


def sender_of(address: str) -> str:
    """Return what is kept of an address: a keyed digest, of an IPv6 address only its network of 64 bits."""
    try:
        ip = ipaddress.ip_address(address)
    except ValueError:
        return salted_hmac("enquiry", address).hexdigest()
    network = ipaddress.ip_network((ip, 64), strict=False) if ip.version == 6 else ip
    return salted_hmac("enquiry", str(network)).hexdigest()


def _take_turn() -> None:
    """Wait until no other letter is being taken in: limits and repeats are counted one letter at a time."""
    Pulse.objects.get_or_create(pk=1)
    Pulse.objects.select_for_update().get(pk=1)


def _sent_before(letter: Letter) -> Enquiry | None:
    by_token = Enquiry.objects.filter(token=letter.token).first()
    return by_token or Enquiry.objects.filter(digest=letter.digest, state=EnquiryState.OPEN).first()


def _flooded(sender: str, now: datetime) -> datetime | None:
    mine = Enquiry.objects.filter(sender=sender)
    limits = ((mine, FROM_ONE, FROM_ONE_IN), (Enquiry.objects.all(), FROM_ALL, FROM_ALL_IN))
    waits = []
    for rows, most, span in limits:
        last = list(rows.filter(made_at__gt=now - span).order_by("-made_at").values_list("made_at", flat=True)[:most])
        if len(last) == most:
            waits.append(last[-1] + span)
    return max(waits, default=None)


def _decide(row: Enquiry, state: EnquiryState, by: CrewMember, *, hull: Hull | None = None, reason: str = "") -> None:
    row.state, row.hull, row.reason = state, hull, reason
    row.decided_by, row.decided_at = by, timezone.now()
    row.save()

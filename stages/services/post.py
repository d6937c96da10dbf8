"""Letters go out: each is taken by one worker, written once, handed to the mail server, and its fate written down.

A letter goes out twice only where the worker, or the connection, dies after the server has the whole letter and before
its word that it took it is on record. Nothing can close that gap from this side (RFC 5321, 4.5.4, knows it too); so
the second is the first one once more, byte for byte under the same Message-ID and date, by which mail services
tell that they hold it already. Everywhere else it goes out once: the row is taken by one compare-and-set, and a worker
that was too slow changes nothing.
"""

import logging
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils import timezone, translation

from hulls.mail_tokens import mail_token, stop_token
from hulls.models import Message, MessageState, ProgressLink
from hulls.photo_files import read
from hulls.photos.letter import small_jpeg
from hulls.wording import gettext_noop
from shop.mail.mime import AddressError, Letter, Picture, wire_address
from shop.mail.smtp import Answer, Fate, hand_over, sender_of, why_off
from shop.models import Shop
from stages.letters import mark
from stages.letters.render import Beside, photos_block
from stages.letters.words import NotNeeded
from stages.queries.letters import NO_LINK, Draft, alt_of, draft_of, open_link_of, photos_in
from stages.services.messages import out_of_quiet, wake

logger = logging.getLogger(__name__)

LEASES = 3  # leases of a job: longer than a mail server that hangs at every question holds a worker up
# RFC 5321, 4.5.4.1: half an hour at least between attempts, two or three hours later on, given up after four or five
# days.
FIRST_WAIT, LONGEST_WAIT, GIVE_UP = timedelta(minutes=30), timedelta(hours=3), timedelta(days=4)
REFUSED = gettext_noop("The mail server refused it for good.")
LATER = gettext_noop("The mail server did not take it yet.")
GIVEN_UP = gettext_noop("No mail server took it for four days.")
BAD_ADDRESS = gettext_noop("That is no e-mail address. Correct it in the hull’s particulars.")
NOT_WRITTEN = gettext_noop("It could not be written; the program’s log says why.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """A letter as it goes over the wire, and the two addresses of its envelope."""

    content: bytes
    sender: str
    to: str


def deliver(*, message: int) -> None:
    """Send a letter if it is due and no other worker has it; in the quiet hours, put it off to their end."""
    now, shop = timezone.now(), Shop.the_one()
    if (due := out_of_quiet(now, shop)) > now:
        _put_off(message, now, due)
        return
    held = _claim(message, now)
    if held is None:
        _look_again(message, now)
        return
    try:
        with timezone.override(shop.zone_info):
            ready = _make(held, shop, now)
    except Exception:
        logger.exception("Letter %s could not be written.", message)
        _settle(held, state=MessageState.FAILED, reason=NOT_WRITTEN)
        return
    if ready is not None and _begin(held, now):
        _end(held, hand_over(content=ready.content, sender=ready.sender, to=ready.to))


def _due(now: datetime) -> Q:
    return Q(state=MessageState.WAITING, due_at__lte=now) | Q(state=MessageState.SENDING, lease_until__lt=now)


def _put_off(message: int, now: datetime, due: datetime) -> None:
    row = Message.objects.filter(_due(now), pk=message).first()
    if row is not None:
        Message.objects.filter(pk=message, state=MessageState.WAITING).update(due_at=due)
        wake(row, due)


def _claim(message: int, now: datetime) -> Message | None:
    token = uuid4()
    free = Message.objects.filter(_due(now), pk=message)
    if free.update(state=MessageState.SENDING, token=token, lease_until=now + LEASES * settings.JOB_LEASE):
        return Message.objects.get(token=token)
    return None


def _look_again(message: int, now: datetime) -> None:
    """Somebody has it; if they died over it, their lease runs out."""
    row = Message.objects.filter(pk=message, state=MessageState.SENDING, lease_until__gte=now).first()
    if row is not None and row.lease_until is not None:
        wake(row, row.lease_until + timedelta(seconds=1))


def _settle(held: Message, **fate: object) -> bool:
    """Write down what became of a letter, if it is still ours."""
    ours = Message.objects.filter(pk=held.pk, token=held.token, state=MessageState.SENDING)
    return bool(ours.update(token=None, lease_until=None, **fate))


def _make(held: Message, shop: Shop, now: datetime) -> Ready | None:
    """Make the bytes of a letter; None where it is not to be sent, which is then on record with its reason."""
    link, draft = open_link_of(held.hull_id), draft_of(held, shop=shop, now=now)
    if link is None or isinstance(draft, NotNeeded):
        _settle(held, state=MessageState.DROPPED, reason=draft.reason if isinstance(draft, NotNeeded) else NO_LINK)
        return None
    if held.written_at is None:
        _write(held, draft, link, shop, now)
    if off := why_off(shop):
        _settle(held, state=MessageState.KEPT, reason=off)
        return None
    try:
        content = bytes(letter_of(held, link, shop))
        return Ready(content=content, sender=wire_address(sender_of(shop)), to=wire_address(held.to_address))
    except AddressError:
        _settle(held, state=MessageState.FAILED, reason=BAD_ADDRESS)
        return None


def _write(held: Message, draft: Draft, link: ProgressLink, shop: Shop, now: datetime) -> None:
    owner, words = link.hull.owner, draft.written
    held.to_name, held.to_address = owner.name, owner.email
    held.subject, held.text, held.html = words.subject, words.text, words.html
    held.photos, held.written_at = list(draft.photos), now.replace(microsecond=0)
    held.message_id = f"<{held.number}@{_domain(shop)}>"
    fields = ("to_name", "to_address", "subject", "text", "html", "photos", "written_at", "message_id")
    ours = Message.objects.filter(pk=held.pk, token=held.token)
    ours.update(**{name: getattr(held, name) for name in fields})


def _domain(shop: Shop) -> str:
    try:
        return wire_address(sender_of(shop)).rpartition("@")[2]
    except AddressError:
        return settings.PUBLIC_HOST


def _begin(held: Message, now: datetime) -> bool:
    """Write down, before the server hears of it, that a letter is tried; False where another worker has it by now."""
    ours = Message.objects.filter(pk=held.pk, token=held.token, state=MessageState.SENDING)
    held.attempts += 1
    return bool(ours.update(attempts=F("attempts") + 1, first_try_at=Coalesce("first_try_at", now)))


def _end(held: Message, answer: Answer) -> None:
    now = timezone.now()
    if answer.fate is Fate.TAKEN:
        _settle(held, state=MessageState.SENT, sent_at=now, reason="", answer="")
    elif answer.fate is Fate.REFUSED:
        _settle(held, state=MessageState.FAILED, reason=REFUSED, answer=answer.words)
    elif now - (held.first_try_at or now) > GIVE_UP:
        _settle(held, state=MessageState.FAILED, reason=GIVEN_UP, answer=answer.words)
    else:
        due = now + min(FIRST_WAIT * 2 ** min(held.attempts - 1, 10), LONGEST_WAIT)
        with transaction.atomic():
            if _settle(held, state=MessageState.WAITING, due_at=due, reason=LATER, answer=answer.words):
                wake(held, due)


def letter_of(message: Message, link: ProgressLink, shop: Shop) -> Letter:
    """A written letter with its secret addresses and its photos in it.

    Its photos are those of them that their owner may still see.
    """
    with translation.override(link.hull.owner.reads):
        pictures, beside = _pictures(message)
    page = settings.PUBLIC_URL + reverse("progress", kwargs={"token": mail_token(link.pk)})
    stop = settings.PUBLIC_URL + reverse("stop_letters", kwargs={"token": stop_token(link.pk)})
    assert message.written_at is not None
    return Letter(
        number=message.number,
        message_id=message.message_id,
        at=timezone.localtime(message.written_at),
        sender_name=shop.name,
        sender=sender_of(shop),
        to_name=message.to_name,
        to=message.to_address,
        subject=message.subject,
        text=mark.filled(message.text, page=page, stop=stop),
        html=mark.filled(message.html, page=page, stop=stop, photos=photos_block(beside)),
        pictures=pictures,
        headers={
            "List-Unsubscribe": f"<{stop}>",
            "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",  # RFC 8058, 3.1
        },
    )


def _pictures(message: Message) -> tuple[tuple[Picture, ...], list[Beside]]:
    pictures, beside = [], []
    for photo in photos_in(message):
        try:
            small = small_jpeg(read(photo.name("small")))
        except FileNotFoundError:
            continue
        name = f"photo-{photo.pk}"
        pictures.append(Picture(name=name, jpeg=small.content))
        beside.append(Beside(src=f"cid:{name}", alt=alt_of(photo), width=small.width, height=small.height))
    return tuple(pictures), beside

"""The out-tray as the crew reads it: what waits, what went out, what did not, and one letter whole."""

from dataclasses import dataclass
from datetime import datetime

from django.core.paginator import Page, Paginator
from django.urls import reverse
from django.utils.translation import gettext as _

from hulls.models import Message, MessageKind, MessageState
from shop.mail.smtp import why_off
from shop.models import Shop
from stages.letters import mark
from stages.letters.render import Beside, photos_block
from stages.letters.words import NotNeeded, called
from stages.queries.letters import Draft, alt_of, draft_of, open_link_of, photos_in

A_PAGE = 30
NOWHERE = "https://…"
SHELVES = {
    "waiting": (MessageState.WAITING, MessageState.SENDING),
    "sent": (MessageState.SENT,),
    "unsent": (MessageState.FAILED, MessageState.BOUNCED, MessageState.KEPT, MessageState.DROPPED),
}
TROUBLE = (MessageState.FAILED, MessageState.BOUNCED)
AGAIN = (*TROUBLE, MessageState.KEPT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A letter in a list. ``gist`` is its subject, or what it is about before it is written."""

    pk: int
    tag: str
    to: str
    gist: str
    at: datetime
    state: str
    reason: str
    trouble: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """One page of one shelf, how many lie on each, and why nothing is sent, if so."""

    page: "Page[Message]"
    rows: tuple[Row, ...]
    counts: dict[str, int]
    trouble: int
    off: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """One letter to read: as it went out, or for one that waits as it would go out now.

    ``lapsed`` says why there is nothing to write; the addresses that open the boat's page are left out of ``text`` and
    ``html``.
    """

    row: Row
    subject: str
    text: str
    html: str
    lapsed: str
    attempts: int
    answer: str
    sent_at: datetime | None
    waits: bool
    may_again: bool


def out_tray(*, shelf: str, hull: str, page: str, shop: Shop) -> Tray:
    """A shelf of the tray, the next or the latest letter first, in three queries."""
    letters = Message.objects.filter(hull__tag=hull) if hull else Message.objects.all()
    states = dict.fromkeys(MessageState, 0)
    for state in letters.order_by().values_list("state", flat=True):
        states[MessageState(state)] += 1
    order = ("due_at", "pk") if shelf == "waiting" else ("-due_at", "-pk")
    rows = letters.filter(state__in=SHELVES[shelf]).select_related("hull__owner").order_by(*order)
    found = Paginator(rows, A_PAGE).get_page(page)
    return Tray(
        page=found,
        rows=tuple(map(row_of, found)),
        counts={name: sum(states[state] for state in held) for name, held in SHELVES.items()},
        trouble=sum(states[state] for state in TROUBLE),
        off=_(why_off(shop)) if why_off(shop) else "",
    )


def row_of(message: Message) -> Row:
    """A letter as a list shows it."""
    hull = message.hull
    return Row(
        pk=message.pk,
        tag=hull.tag,
        to=message.to_address or hull.owner.email,
        gist=message.subject or f"{called(hull)}: {MessageKind(message.kind).label}",
        at=message.sent_at or message.due_at,
        state=str(MessageState(message.state).label),
        reason=_(message.reason) if message.reason else "",
        trouble=message.state in TROUBLE,
    )


def whole(pk: int, *, shop: Shop, now: datetime) -> Whole | None:
    """One letter to read; None where there is none."""
    message = Message.objects.select_related("hull__owner").filter(pk=pk).first()
    if message is None:
        return None
    waits = message.state == MessageState.WAITING
    draft = draft_of(message, shop=shop, now=now) if waits else None
    fresh = draft.written if isinstance(draft, Draft) and message.written_at is None else None
    if isinstance(draft, Draft) and message.written_at is None:
        message.photos = list(draft.photos)
    html = fresh.html if fresh else message.html
    return Whole(
        row=row_of(message),
        subject=fresh.subject if fresh else message.subject,
        text=mark.filled(fresh.text if fresh else message.text, page=NOWHERE, stop=NOWHERE),
        html=mark.filled(html, page="#", stop="#", photos=photos_block(_photos(message))),
        lapsed=_(draft.reason) if isinstance(draft, NotNeeded) else "",
        attempts=message.attempts,
        answer=message.answer,
        sent_at=message.sent_at,
        waits=waits,
        may_again=message.state in AGAIN and open_link_of(message.hull_id) is not None,
    )


def _photos(message: Message) -> list[Beside]:
    return [
        Beside(
            src=reverse("photo", kwargs={"pk": photo.pk, "size": "small"}),
            alt=alt_of(photo),
            width=min(photo.width, 480),
            height=round(photo.height * min(1.0, 480 / max(photo.width, 1))),
        )
        for photo in photos_in(message)
    ]

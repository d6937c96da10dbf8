"""What goes into the out-tray and out of it again: news, the week's letters, what owners choose, what the crew does."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone

from hulls.models import ColourAsk, Invoice, Message, MessageKind, MessageState, Owner, ProgressLink, Remark, Wish
from hulls.wording import gettext_noop
from shop.jobs.enqueue import enqueue
from shop.models import Shop
from stages.engine.log import EntryKind, LogEntry
from stages.engine.work import Work
from stages.letters.bounce import Bounce
from stages.letters.quiet import next_at, not_before
from stages.letters.wanted import kinds_for
from stages.queries.letters import STRUCK, open_link_of

GATHER = timedelta(minutes=10)  # a slip of the thumb is struck by then, and what comes together goes out together
LATE = timedelta(hours=1)
A_DAY_AND_MORE = timedelta(hours=26)
TELLS_OF_LINES = (MessageKind.STEP, MessageKind.RECORD, MessageKind.WORDS)
TAKEN_OUT = gettext_noop("The shop took it out.")
CAME_BACK = gettext_noop("The mail server of the boat’s owner sent it back.")


def tell_owner(*, hull_id: int, entry: LogEntry, work: Work) -> None:
    """Note what a new line of the log tells the boat's owner, in the transaction of that line.

    A strike takes what it strikes out of every letter that was not sent yet. Nothing is noted where there is no open
    link, no e-mail address, or no wish to hear of it.
    """
    if entry.kind is EntryKind.STRIKE:
        _unsay(hull_id, entry.details["entry"])
        return
    if not kinds_for(entry, work, Wish.EVERY):
        return
    link = open_link_of(hull_id)
    if link is None or not link.hull.owner.email:
        return
    for kind in kinds_for(entry, work, link.wish):
        _note(hull_id, kind, key=f"{kind}:{hull_id}:{entry.id}", lines=[entry.id])


def tell_of_link(link: ProgressLink) -> None:
    """Note that a boat's owner is to get the link that was just made."""
    if link.hull.owner.email and link.wish != Wish.NOTHING:
        _note(link.hull_id, MessageKind.LINK, key=f"link:{link.pk}", lines=[])


def tell_of_invoice(invoice: Invoice) -> None:
    """Note that a boat's owner is to pay what was just billed."""
    link = open_link_of(invoice.hull_id)
    if link is not None and link.hull.owner.email and link.wish != Wish.NOTHING:
        _note(invoice.hull_id, MessageKind.ACT, key=f"invoice:{invoice.pk}", lines=[])


def tell_of_remark(remark: Remark) -> None:
    """Note that a boat's owner is to read what the shop just wrote."""
    link = open_link_of(remark.hull_id)
    if link is not None and link.hull.owner.email and link.wish != Wish.NOTHING:
        _note(remark.hull_id, MessageKind.WORDS, key=f"words:{remark.pk}", lines=[remark.pk])


def untell_of_remark(remark: Remark) -> None:
    """Take a remark that was struck out of the letter that waits with it."""
    _take_away(Message.objects.filter(hull=remark.hull_id, kind=MessageKind.WORDS), remark.pk)


def tell_of_colour(ask: ColourAsk) -> None:
    """Note that a boat's owner is asked for its colour."""
    link = open_link_of(ask.hull_id)
    if link is not None and link.hull.owner.email and link.wish != Wish.NOTHING:
        _note(ask.hull_id, MessageKind.ACT, key=f"colour:{ask.pk}", lines=[])


def prepare_day(*, now: datetime) -> None:
    """Note the week's letters that are due within a day, and wake letters that no job is about any more."""
    shop = Shop.the_one()
    due = next_at(now, shop.zone_info, shop.weekly_on, shop.weekly_at)
    if due - now < A_DAY_AND_MORE:
        day = due.astimezone(shop.zone_info).date()
        wanted = ProgressLink.objects.filter(withdrawn_at=None, weekly=True, hull__work__handed_over_at=None)
        for link in wanted.exclude(hull__owner__email=""):
            _note(link.hull_id, MessageKind.WEEKLY, key=f"weekly:{link.hull_id}:{day}", lines=[], due=due)
    waiting = Q(state=MessageState.WAITING, due_at__lt=now - LATE)
    left = Q(state=MessageState.SENDING, lease_until__lt=now - LATE)
    for message in Message.objects.filter(waiting | left):
        wake(message, now)


def choose_language(*, hull_id: int, language: str) -> None:
    """Keep the language in which a boat's owner reads their pages and gets their letters, of all their boats."""
    Owner.objects.filter(hulls=hull_id).update(language=language)


def choose_letters(*, link: int, wish: Wish, weekly: bool) -> None:
    """Keep what a boat's owner wants to be written to about; letters that wait are measured by it when they are due."""
    ProgressLink.objects.filter(pk=link).update(wish=wish, weekly=weekly)


def stop_letters(*, link: int) -> bool:
    """Stop every letter about a boat, also where the link in the letter was renewed since; done again without harm.

    Returns
    -------
    bool
        Whether there is such a link.
    """
    hulls = ProgressLink.objects.filter(pk=link).values("hull")
    return bool(ProgressLink.objects.filter(hull__in=hulls).update(wish=Wish.NOTHING, weekly=False))


def take_out(*, message: int) -> bool:
    """Take a letter out of the tray that waits; False where it is too late for that."""
    waiting = Message.objects.filter(pk=message, state=MessageState.WAITING)
    return bool(waiting.update(state=MessageState.DROPPED, reason=TAKEN_OUT))


def send_again(*, message: int) -> bool:
    """Let a letter that failed, came back or was only kept go out after all, written anew to the address of today.

    False where there is no such letter, or it was sent meanwhile.
    """
    again = (MessageState.FAILED, MessageState.BOUNCED, MessageState.KEPT)
    with transaction.atomic():
        row = Message.objects.select_for_update().filter(pk=message, state__in=again).first()
        if row is None:
            return False
        row.state, row.reason, row.answer = MessageState.WAITING, "", ""
        row.attempts, row.first_try_at, row.written_at = max(row.attempts, 1), None, None
        row.due_at = out_of_quiet(timezone.now(), Shop.the_one())
        row.save()
        wake(row, row.due_at)
    return True


def came_back(bounces: Iterable[Bounce]) -> list[Message]:
    """Write down which letters came back; read twice, a bounce counts once.

    Returns
    -------
    list of Message
        Those that nobody knew to have come back.
    """
    found = []
    for bounce in bounces:
        with transaction.atomic():
            sent = Message.objects.select_for_update().filter(message_id=bounce.message_id, state=MessageState.SENT)
            for row in sent:
                row.state, row.reason = MessageState.BOUNCED, CAME_BACK
                row.answer = f"{bounce.status} {bounce.words}".strip()[:400]
                row.save(update_fields=["state", "reason", "answer"])
                found.append(row)
    return found


def wake(message: Message, at: datetime) -> None:
    """Have the workers look at a letter at a time."""
    with transaction.atomic():
        row = Message.objects.select_for_update().get(pk=message.pk)
        row.wakes += 1
        row.save(update_fields=["wakes"])
        wait = max(at - timezone.now(), timedelta())
        enqueue(name="message", key=f"message:{row.pk}:{row.wakes}", payload={"message": row.pk}, wait=wait)


def out_of_quiet(at: datetime, shop: Shop) -> datetime:
    """A time, put off to the end of the quiet hours where it lies in them."""
    return not_before(at, shop.zone_info, shop.quiet_from, shop.quiet_until)


def _note(hull_id: int, kind: MessageKind, *, key: str, lines: list[int], due: datetime | None = None) -> None:
    """Add to the letter of this kind that was not tried yet, or begin one."""
    now = timezone.now()
    with transaction.atomic():
        gathers = Message.objects.filter(hull=hull_id, kind=kind, state=MessageState.WAITING, attempts=0)
        row = gathers.select_for_update().first()
        if row is not None:
            row.lines = sorted({*row.lines, *lines})
            row.save(update_fields=["lines"])
            return
        due_at = out_of_quiet(due or now + GATHER, Shop.the_one())
        letter = Message(hull_id=hull_id, kind=kind, key=key, lines=lines, made_at=now, due_at=due_at)
        Message.objects.bulk_create([letter], ignore_conflicts=True)  # the same news twice is one letter
        made = Message.objects.filter(key=key, wakes=0).first()
        if made is not None:
            wake(made, due_at)


def _unsay(hull_id: int, line: int) -> None:
    _take_away(Message.objects.filter(hull=hull_id).exclude(kind=MessageKind.WORDS), line)


def _take_away(letters: QuerySet[Message], line: int) -> None:
    for row in letters.select_for_update().filter(state=MessageState.WAITING):
        if line in row.lines:
            row.lines.remove(line)
            row.written_at = None
            if not row.lines and row.kind in TELLS_OF_LINES:  # something else may wait for the owner's answer
                row.state, row.reason = MessageState.DROPPED, STRUCK
            row.save(update_fields=["lines", "written_at", "state", "reason"])

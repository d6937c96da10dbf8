"""The thread between a boat's owner and the shop: asked, answered, set aside, struck."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from hulls.models import Photo, Remark
from hulls.models.remarks import REMARK_LENGTH
from hulls.wording import gettext_noop
from shop.models import CrewMember, Pulse
from stages.engine.errors import EngineError
from stages.letters.wanted import ready_to_leave
from stages.models import HullWork
from stages.queries.photos import shared_photos
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.messages import tell_of_remark, untell_of_remark
from stages.services.orders import Guest, Hand
from stages.services.payments import locked
from stages.services.texts import checked_reason, checked_text

# The link is the sender's key, so it is counted by boat; past that it is a flood, and the telephone still works.
IN_AN_HOUR, IN_A_DAY = (8, timedelta(hours=1)), (24, timedelta(days=1))
FARTHEST = timedelta(days=366)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What is written, and about which photo; ``asks`` that the shop waits for an answer."""

    words: str
    photo: int | None = None
    asks: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """What became of a remark: it stands in the thread, now or since it was sent before; or there were too many.

    Parameters
    ----------
    remark : Remark or None
        None when it was refused.
    repeated : bool
        The same form had been sent before.
    retry_at : datetime or None
        When the next one is taken, for one that was refused.
    """

    remark: Remark | None = None
    repeated: bool = False
    retry_at: datetime | None = None


def ask_shop(*, hull_id: int, written: Written, guest: Guest) -> Heard:
    """Keep what a boat's owner writes; the same form twice is one remark. It answers what the shop had asked.

    Raises
    ------
    EngineError
        Without words, with too many or such as no page can show, about a photo that its owner does not see, or where
        the same form was sent with other words.
    """
    words = checked_text(written.words, "words", REMARK_LENGTH)
    return _heard(hull_id, guest, Remark(words=words, photo=_shared(hull_id, written.photo)))


def propose_day(*, hull_id: int, day: date, words: str, guest: Guest) -> Heard:
    """Keep the day on which a boat's owner means to come for it; a later one takes its place.

    Raises
    ------
    EngineError
        When the boat is not ready, the day is past or far ahead, or what was written cannot be kept.
    """
    words = checked_text(words, "words", REMARK_LENGTH, empty=True)
    today = timezone.localtime(guest.at).date()
    if day < today:
        raise EngineError("day", gettext_noop("That day is over. Choose one from today on."))
    if day > today + FARTHEST:
        raise EngineError("day", gettext_noop("That is too far ahead. Look at the year."))
    row = HullWork.objects.select_related("hull", "route").get(pk=hull_id)
    if row.handed_over_at is not None:
        raise EngineError("day", gettext_noop("You have your boat back already."))
    if not ready_to_leave(in_work([row], around().world)[0].work):
        raise EngineError("day", gettext_noop("The boat is not ready yet. We tell you when it is."))
    return _heard(hull_id, guest, Remark(words=words, day=day))


def answer_owner(*, hull_id: int, written: Written, hand: Hand) -> Heard:
    """Write to a boat's owner, which answers all that they asked; a letter tells them of it.

    Raises
    ------
    EngineError
        Without words, with too many or such as no page can show, or about a photo that its owner does not see.
    """
    words = checked_text(written.words, "words", REMARK_LENGTH)
    remark = Remark(words=words, photo=_shared(hull_id, written.photo), asks=written.asks, by=hand.by)
    with transaction.atomic():
        locked(hull_id)
        if before := _sent(hull_id, hand.client_id, remark):
            return Heard(remark=before, repeated=True)
        kept = _kept(hull_id, hand, remark)
        settle(hull_id=hull_id, at=hand.at)
        tell_of_remark(kept)
    return Heard(remark=kept)


def settle(*, hull_id: int, at: datetime) -> int:
    """Take what a boat's owner wrote as answered, or as needing no answer; says how many remarks that were."""
    with transaction.atomic():
        settled = Remark.objects.waiting_for_shop().filter(hull=hull_id).update(settled_at=at)
        Pulse.bump()
    return settled


def strike_remark(*, hull_id: int, remark: int, reason: str, by: CrewMember, at: datetime) -> Remark:
    """Strike a remark, whoever wrote it; it stays, and its owner sees that something was struck. Twice is once.

    Raises
    ------
    EngineError
        Without a reason, or where the boat's thread has no such remark.
    """
    reason = checked_reason(reason)
    with transaction.atomic():
        row = Remark.objects.select_for_update().filter(pk=remark, hull=hull_id).first()
        if row is None:
            raise EngineError("reason", gettext_noop("There is no such remark in this boat's thread."))
        if row.struck_at is None:
            row.struck_at, row.struck_by, row.struck_because = at, by, reason
            row.save(update_fields=["struck_at", "struck_by", "struck_because"])
            untell_of_remark(row)
            Pulse.bump()
    return row


def _heard(hull_id: int, guest: Guest, remark: Remark) -> Heard:
    with transaction.atomic():
        locked(hull_id)
        if before := _sent(hull_id, guest.client_id, remark):
            return Heard(remark=before, repeated=True)
        if retry_at := _flooded(hull_id, guest.at):
            return Heard(retry_at=retry_at)
        kept = _kept(hull_id, guest, remark)
        Remark.objects.waiting_for_owner().filter(hull=hull_id).update(settled_at=guest.at)
        Pulse.bump()
    return Heard(remark=kept)


def _kept(hull_id: int, hand: Hand | Guest, remark: Remark) -> Remark:
    remark.hull_id, remark.client_id, remark.made_at = hull_id, hand.client_id, hand.at
    remark.save()
    return remark


def _sent(hull_id: int, client_id: UUID, remark: Remark) -> Remark | None:
    """The remark that the same form sent before.

    Raises
    ------
    EngineError
        When it said something else: what is written now is not in the thread.
    """
    before = Remark.objects.filter(client_id=client_id).first()
    if before is None:
        return None
    if (before.hull_id, before.words, before.day, before.by_id) != (hull_id, remark.words, remark.day, remark.by_id):
        raise EngineError(
            "", gettext_noop("This page had sent something else before. What you wrote is still here: send it again.")
        )
    return before


def _shared(hull_id: int, photo: int | None) -> Photo | None:
    if photo is None:
        return None
    found = shared_photos().filter(pk=photo, hull=hull_id).first()
    if found is None:
        raise EngineError("photo", gettext_noop("That photo is not on the boat's page any more. Send it without."))
    return found


def _flooded(hull_id: int, now: datetime) -> datetime | None:
    """When the next remark is taken, where too many came; struck ones count too."""
    rows, waits = Remark.objects.filter(hull=hull_id, by=None).order_by("-made_at"), []
    for most, span in (IN_AN_HOUR, IN_A_DAY):
        last = list(rows.filter(made_at__gt=now - span).values_list("made_at", flat=True)[:most])
        if len(last) == most:
            waits.append(last[-1] + span)
    return max(waits, default=None)

"""The hand-over: what its owner was told and given, and signed for, in the line of the hull's log that lets it go."""

import hashlib
from dataclasses import dataclass, replace
from typing import Any, BinaryIO
from uuid import uuid5

from django.db import transaction

from hulls.models import Photo, PhotoState
from hulls.signature import SignatureError, read_signature
from hulls.wording import gettext_noop
from shop.models import Shop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.leaving import leaves_by
from stages.engine.log import EntryKind
from stages.engine.vocab import Action
from stages.finish.care import care_of_work
from stages.finish.receipt import HANDED
from stages.queries.final_photos import missing_views
from stages.services.bench import checked_hours
from stages.services.desk import Desk, Plan, already
from stages.services.orders import Hand, Line, Outcome
from stages.services.photos import add_photo
from stages.services.record import record
from stages.services.texts import REASON_LENGTH, checked_text

NAME_LENGTH, THING_LENGTH, MOST_THINGS = 80, 120, 30
CHUNK = 1 << 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What whoever fetches a boat signs for.

    Parameters
    ----------
    to : str
        Their name.
    care : tuple of str
        The points of the care talk that were talked through, as `care_of` has them.
    goods : tuple of str
        What goes with the boat.
    signature : str
        The strokes, as `hulls.signature` has them; empty where it was signed on paper.
    paper : int or None
        The photo of the signed paper.
    short : str
        Why something was left out: a point of the talk, or a photo that the shop takes of every boat.
    unsigned : str
        Why nobody signs, such as that a carrier takes the boat: it stands in the place of the signature, and of what
        only an owner who is there can be told.
    """

    to: str
    care: tuple[str, ...]
    goods: tuple[str, ...] = ()
    signature: str = ""
    paper: int | None = None
    short: str = ""
    unsigned: str = ""


def hand_over(*, hull_id: int, receipt: Receipt, hand: Hand, hours: float | None = None) -> Outcome:
    """Hand a boat over: the step is begun if nobody did, and finished. Its place is free, its finish record frozen.

    Refused by the rules of the step; then nothing of it is written.

    Parameters
    ----------
    hours : float, optional
        Hours of work that it took, h, as of any step.

    Raises
    ------
    EngineError
        With the field: no name, neither a signature nor why there is none, a point or a photo left out without a
        reason, a paper that is not there.
    """
    begin = replace(hand, client_id=uuid5(hand.client_id, "begin"))
    with transaction.atomic():
        begun = record(hull_id=hull_id, hand=begin, plan=_begin(hand))
        outcome = (
            begun
            if begun.refused
            else record(hull_id=hull_id, hand=hand, plan=_go(receipt, hand, checked_hours(hours)))
        )
        if outcome.entry is None:
            transaction.set_rollback(True)
    return outcome


def keep_signed_paper(*, hull_id: int, file: BinaryIO, hand: Hand) -> int:
    """Keep the photo of the paper that was signed, for the finish record alone; the same file twice is one.

    Returns
    -------
    int
        The photo's number.

    Raises
    ------
    EngineError
        When it is no photo.
    """
    digest = hashlib.sha256()
    while chunk := file.read(CHUNK):
        digest.update(chunk)
    file.seek(0)
    own = replace(hand, client_id=uuid5(hand.client_id, digest.hexdigest()))
    entry = add_photo(hull_id=hull_id, file=file, hand=own, signed_paper=True).entry
    assert entry is not None  # no rule judges a photo
    return int(entry.details["photo"])


def _begin(hand: Hand) -> Plan:
    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = leaves_by(desk.work.route)
        if desk.work.state.handed_over_at:
            return already(desk, EntryKind.FINISHED, spec.key)
        if desk.work.state.stage(spec.key).started_at:
            return already(desk, EntryKind.STARTED, spec.key)
        return Line(kind=EntryKind.STARTED, stage=spec.key), Ask(action=Action.START, at=hand.at, stage=spec)

    return plan


def _go(receipt: Receipt, hand: Hand, hours: dict[str, float]) -> Plan:
    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = leaves_by(desk.work.route)
        if desk.work.state.handed_over_at:
            return already(desk, EntryKind.FINISHED, spec.key)
        line = Line(kind=EntryKind.FINISHED, stage=spec.key, details={**hours, HANDED: _checked(receipt, desk)})
        return line, Ask(action=Action.FINISH, at=hand.at, stage=spec)

    return plan


def _checked(receipt: Receipt, desk: Desk) -> dict[str, Any]:
    """The receipt as the log keeps it."""
    points = care_of_work(desk.work)
    left = [point for point in points if point not in receipt.care]
    missing = missing_views(desk.row.pk, desk.work.route, Shop.the_one())
    short = checked_text(receipt.short, "short", REASON_LENGTH, empty=True)
    signed = _signed(receipt, desk.row.pk)
    if left and not (short or signed["unsigned"]):
        raise EngineError("care", gettext_noop("Talk every point through, or write below why one is left out."))
    if missing and not short:
        raise EngineError("short", gettext_noop("A photo is missing. Take it, or write why the boat goes without."))
    to = checked_text(receipt.to, "to", NAME_LENGTH)
    return {
        "to": to,
        "care": [point for point in points if point in receipt.care],
        "left": left,
        "short": short if left or missing else "",
        "goods": _goods(receipt.goods),
        **signed,
    }


def _goods(goods: tuple[str, ...]) -> list[str]:
    if len(goods) > MOST_THINGS:
        raise EngineError("goods", gettext_noop("Up to 30 lines: put several things on one."))
    return [checked_text(thing, "goods", THING_LENGTH) for thing in goods]


def _signed(receipt: Receipt, hull_id: int) -> dict[str, Any]:
    """The signature as it was drawn, the photo of the paper, or both; or why there is none."""
    why = checked_text(receipt.unsigned, "unsigned", REASON_LENGTH, empty=True)
    if not receipt.signature and receipt.paper is None and not why:
        raise EngineError("signature", gettext_noop("Let them sign here or on paper, or write below why nobody signs."))
    try:
        drawn = read_signature(receipt.signature).text if receipt.signature else ""
    except SignatureError as error:
        raise EngineError("signature", error.message) from error
    if receipt.paper is not None and not _papers(hull_id).filter(pk=receipt.paper).exists():
        raise EngineError("signed_paper", gettext_noop("The photo of the paper could not be kept. Add it again."))
    is_signed = bool(drawn) or receipt.paper is not None
    return {"signature": drawn, "paper": receipt.paper, "unsigned": "" if is_signed else why}


def _papers(hull_id: int) -> Any:
    return Photo.objects.filter(hull_id=hull_id, signed_paper=True, struck_at=None).exclude(state=PhotoState.REFUSED)

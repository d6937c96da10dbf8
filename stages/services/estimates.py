"""Estimates are worked out as drafts, numbered and frozen when they are sent, and withdrawn if need be."""

from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from hulls.estimate import Estimate as Sums
from hulls.estimate import EstimateError, digest, plain
from hulls.models import Answer, Estimate, EstimateKind
from hulls.wording import gettext_noop
from shop.models import CrewMember, Shop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind
from stages.models import HullWork
from stages.queries.estimate_asked import Asked
from stages.queries.estimating import basis_of, reckoned
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services.desk import Desk
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import record_whole
from stages.services.texts import checked_text

WORDS_LENGTH = 4000


def prepare_estimate(*, hull_id: int, asked: Asked, by: CrewMember, at: datetime) -> Estimate:
    """Work an estimate out and keep it as the hull's draft, in the place of the draft before.

    Raises
    ------
    EngineError
        With the field, for a figure that no estimate can hold, or when the hull's estimate is approved: what comes on
        top of that is a change order.
    """
    words = checked_text(asked.words, "words", WORDS_LENGTH, empty=True)
    with transaction.atomic():
        row = HullWork.objects.select_for_update(of=("self",)).select_related("hull", "route").get(pk=hull_id)
        _check_not_agreed(hull_id)
        work = in_work([row], around().world)[0].work
        try:
            sums = reckoned(basis_of(row.hull, work, Shop.the_one()), asked).sums
        except EstimateError as error:
            raise EngineError(error.field, error.message) from error
        held, _made = Estimate.objects.update_or_create(
            hull_id=hull_id,
            kind=EstimateKind.ESTIMATE,
            sent_at=None,
            defaults={"asked": asked.plain(), "words": words, "made_at": at, "made_by": by, **figures(sums)},
        )
    return held


def send_estimate(*, hull_id: int, estimate: int, hand: Hand) -> Outcome:
    """Freeze the draft of a hull under its number, so that its owner can answer; later changes make a new version.

    Raises
    ------
    EngineError
        When it was sent or thrown away since, or the version before it was approved in the meantime.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        _check_not_agreed(hull_id)
        draft = Estimate.objects.filter(pk=estimate, hull_id=hull_id, sent_at__isnull=True).first()
        if draft is None:
            raise EngineError("", gettext_noop("This draft was sent or worked out anew since. Look at it again."))
        return freeze(draft, hand), None

    return record_whole(hull_id=hull_id, hand=hand, plan=plan)


def withdraw_estimate(*, hull_id: int, estimate: int, hand: Hand) -> Outcome:
    """Take back what was sent and has no answer yet; it keeps its number.

    Raises
    ------
    EngineError
        When there is none such.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        row = Estimate.objects.waiting().filter(pk=estimate, hull_id=hull_id).first()
        if row is None:
            raise EngineError("", gettext_noop("This one has an answer already, or was withdrawn."))
        check_after_sending(row, hand.at)
        close(row, Answer.WITHDRAWN, hand.at)
        return Line(kind=EntryKind.ESTIMATE, details={"what": "withdrawn", **called(row)}), None

    return record_whole(hull_id=hull_id, hand=hand, plan=plan)


def freeze(row: Estimate, hand: Hand) -> Line:
    """Number what is sent, seal it, and give the line of the log that holds its digest. The hull is locked."""
    shop = Shop.objects.select_for_update().filter(pk=1).first() or Shop.the_one()
    before = Estimate.objects.filter(hull_id=row.hull_id, kind=EstimateKind.ESTIMATE, sent_at__isnull=False)
    last = before.order_by("version").last() if row.kind == EstimateKind.ESTIMATE else None
    if last is not None:
        row.number, row.label, row.version = last.number, last.label, last.version + 1
        before.waiting().update(answer=Answer.REPLACED, answered_at=hand.at)
    else:
        row.number = _next_number(row.kind)
        prefix = shop.estimate_prefix if row.kind == EstimateKind.ESTIMATE else shop.change_prefix
        row.label = f"{prefix}{row.number}"
    if row.kind == EstimateKind.ESTIMATE:
        row.body = {**row.body, "terms": shop.estimate_terms}
    if Estimate.objects.filter(label=row.label).exclude(kind=row.kind).exists():
        raise EngineError("", gettext_noop("Something else is called that already. Set another prefix under Settings."))
    row.sent_at = hand.at
    row.valid_until = timezone.localtime(hand.at).date() + timedelta(days=shop.validity_days)
    row.digest = digest(row.sealed)
    row.save()
    details = {"what": "sent", "paper": row.kind, "stages": list(row.stages), **called(row)}
    return Line(kind=EntryKind.ESTIMATE, details=details)


def _check_not_agreed(hull_id: int) -> None:
    """An approved estimate is never overtaken by a later version."""
    if Estimate.objects.agreed().filter(hull_id=hull_id, kind=EstimateKind.ESTIMATE).exists():
        raise EngineError("", gettext_noop("The estimate is approved: what comes on top is a change order."))


def _next_number(kind: str) -> int:
    """One more than the highest: what was sent is never deleted, so the numbers have no gaps."""
    highest = Estimate.objects.filter(kind=kind).aggregate(highest=Max("number"))["highest"]
    return (highest or 0) + 1


def called(row: Estimate) -> dict[str, Any]:
    """What every line of the log says of an estimate: exactly which one it is about."""
    return {
        "estimate": row.pk,
        "label": row.label,
        "version": row.version,
        "digest": row.digest,
        "total": str(row.total),
        "currency": row.currency,
    }


def check_after_sending(row: Estimate, at: datetime) -> None:
    """Refuse an answer from before the question."""
    if row.sent_at is not None and at < row.sent_at:
        raise EngineError("at", gettext_noop("That is before it was sent."))


def close(row: Estimate, answer: Answer, at: datetime, by: str = "") -> None:
    """Copy the answer of the log to the row that pages read."""
    row.answer, row.answered_at, row.answered_by = answer, at, by
    row.save(update_fields=["answer", "answered_at", "answered_by"])


def figures(sums: Sums) -> dict[str, Any]:
    """The columns of the row that hold its sums."""
    return {
        "body": plain(sums),
        "currency": sums.currency.code,
        "subtotal": sums.subtotal,
        "total": sums.total,
        "deposit": sums.deposit,
    }

"""The boat owner's answer to what was sent: for exactly the version that they read, and once."""

from dataclasses import dataclass

from django.utils import timezone

from hulls.models import Answer, Estimate
from hulls.wording import gettext_noop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind, in_force
from stages.engine.state import Agreement
from stages.models import Entry
from stages.services.desk import Desk
from stages.services.estimates import called, check_after_sending, close
from stages.services.orders import Guest, Hand, Line, Outcome
from stages.services.record import record_whole
from stages.services.texts import checked_text

NAME_LENGTH = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """An answer: to which paper, version and digest, yes or no, in whose name, and how it reached the shop."""

    label: str
    version: int
    digest: str
    yes: bool
    name: str
    how: str = "link"


def answer_estimate(*, hull_id: int, reply: Reply, hand: Hand | Guest) -> Outcome:
    """Keep the owner's answer in the hull's log; a yes to the estimate finishes the step that waits for it.

    The same answer again is the one from before.

    Raises
    ------
    EngineError
        When a later version was sent, what was read is not what was sent, it was withdrawn, declined or approved
        before, its days are over, or no name is given.
    """
    name = checked_text(reply.name, "name", NAME_LENGTH)
    how = checked_text(reply.how, "how", NAME_LENGTH)
    given = Answer.APPROVED if reply.yes else Answer.DECLINED

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        held = desk.work.state.agreements.get(reply.label)
        row = Estimate.objects.filter(hull_id=hull_id, label=reply.label, version=reply.version).first()
        if held is None or row is None:
            raise EngineError("", gettext_noop("This boat has no such estimate. Open the page again."))
        _check_version(reply, held, row)
        if not held.is_open:
            return _answered(desk, reply.label, held, given)
        check_after_sending(row, hand.at)
        if reply.yes and row.valid_until and timezone.localtime(hand.at).date() > row.valid_until:
            raise EngineError("", gettext_noop("Its days are over. Ask the shop for a new one."))
        close(row, given, hand.at, name)
        details = {"what": str(given), "name": name, "how": how, **called(row)}
        return Line(kind=EntryKind.ESTIMATE, details=details), None

    return record_whole(hull_id=hull_id, hand=hand, plan=plan)


def _check_version(reply: Reply, held: Agreement, row: Estimate) -> None:
    if reply.version != held.version:
        raise EngineError("", gettext_noop("A later version was sent since. Read that one, then answer."))
    if not (reply.digest == held.digest == row.digest and row.holds):
        raise EngineError("", gettext_noop("What stands here is not what was sent. Nothing was agreed; ask the shop."))


def _answered(desk: Desk, label: str, held: Agreement, given: Answer) -> Outcome:
    """The answer from before, where it is the same; another one comes too late."""
    if str(held.answer) != str(given):
        said = {
            "approved": gettext_noop("It was approved before; that stands. Ask the shop for a change."),
            "declined": gettext_noop("It was declined before. Ask the shop for a new version."),
            "withdrawn": gettext_noop("The shop has withdrawn it. Nothing was agreed."),
        }
        raise EngineError("", said[str(held.answer)])
    lines = [e for e in in_force(desk.log) if e.kind is EntryKind.ESTIMATE and e.details["label"] == label]
    return Outcome(already=Entry.objects.select_related("by").get(hull_id=desk.row.pk, number=lines[-1].id))

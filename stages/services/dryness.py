"""What the crew found when it tried a coat: still tacky, or dry. The shop's factors are learnt from these lines."""

from datetime import timedelta

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.learning import Seen
from stages.engine.log import EntryKind, in_force
from stages.engine.state import Coat
from stages.engine.vocab import Surface
from stages.engine.work import Work
from stages.models import Entry
from stages.services.desk import Desk
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import record

SAME_TRIAL = timedelta(minutes=30)  # the same answer about the same coat within it is the same trial


def record_dryness(*, hull_id: int, surface: str, seen: str, hand: Hand) -> Outcome:
    """Record that the outermost coat of a surface was tried, and was still tacky or was dry.

    Parameters
    ----------
    surface : str
        A surface with a coat on it.
    seen : str
        "tacky" or "dry": for its next step, to be sanded where its product is sanded between coats.

    Raises
    ------
    EngineError
        For a surface without a coat, a product that needs no time to dry, or an answer that is none.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        if surface not in set(Surface):
            raise EngineError("surface", gettext_noop("This hull has no such surface."))
        if seen not in set(Seen):
            raise EngineError("seen", gettext_noop("A coat is still tacky, or it is dry."))
        work = desk.as_of(hand.at)
        coat = work.state.top(Surface(surface))
        if coat is None:
            raise EngineError("surface", gettext_noop("There was no coat on it at that time."))
        return _before(desk, hand, coat, seen) or (_line(work, coat, seen, hand), None)

    return record(hull_id=hull_id, hand=hand, plan=plan)


def _line(work: Work, coat: Coat, seen: str, hand: Hand) -> Line:
    dryness = work.tried_for(coat)
    if dryness is None:
        raise EngineError("surface", gettext_noop("What is on it needs no time to dry."))
    age = work.age(coat, hand.at)
    details = {
        "surface": coat.surface,
        "coat": coat.entry,
        "product": coat.product,
        "dryness": dryness,
        "seen": seen,
        # By the label, whatever the shop had learnt until then.
        "age_h": round(age.hours * work.product(coat).factor, 3),
        "stood_h": round((hand.at - coat.at).total_seconds() / 3600, 3),
        "assumed_h": round(age.assumed_h, 3),
    }
    return Line(kind=EntryKind.SEEN, stage=coat.stage, details=details)


def _before(desk: Desk, hand: Hand, coat: Coat, seen: str) -> Outcome | None:
    for line in in_force(desk.log):
        same = line.kind is EntryKind.SEEN and line.details["coat"] == coat.entry and line.details["seen"] == seen
        if same and abs(line.at - hand.at) < SAME_TRIAL:
            return Outcome(already=Entry.objects.select_related("by").get(hull_id=desk.row.pk, number=line.id))
    return None

"""Hands that take whatever step the engine allows next, for tests that need a hull half-way through its route."""

from datetime import datetime, timedelta

from hulls.models import Hull
from stages.engine.assess import StageStatus, assess, headline
from stages.engine.vocab import Action
from stages.models import HullWork
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services import bench, notes
from stages.services.hand_over import Receipt, hand_over
from stages.services.orders import Hand, Outcome
from tests.factories import hand, product

STEP = timedelta(minutes=30)
TO_A_CARRIER = Receipt(to="A carrier", care=(), unsigned="its owner sent a carrier", short="photos: not in this test")


def statuses(hull: Hull, now: datetime) -> tuple[StageStatus, ...]:
    """Every stage of a hull at a moment."""
    row = HullWork.objects.select_related("hull__owner", "route").get(hull=hull)
    return assess(in_work([row], around().world)[0].work, now)


def do_next(hull: Hull, status: StageStatus, now: datetime) -> None:
    """Do what hands do next on a stage; fail where the services do not do what the assessment promised."""
    outcome = _done(hull, status, now)
    assert outcome.done, (status.spec.name, status.next, [str(finding.words) for finding in outcome.findings])


def finish(*, hull_id: int, stage: str, hand: Hand) -> Outcome:
    """Finish a step; the last one by handing the boat to a carrier."""
    if stage == "hand_over":
        return hand_over(hull_id=hull_id, receipt=TO_A_CARRIER, hand=hand)
    return bench.finish_stage(hull_id=hull_id, stage=stage, hand=hand)


def bring_to(hull: Hull, stage: str, now: datetime) -> datetime:
    """Work on a hull until a stage is the next to start, and return the moment of that; an empty one is the end."""
    while (head := headline(statuses(hull, now))) is not None:
        if head.spec.key == stage and head.next is Action.START:
            break
        if head.hands:
            do_next(hull, head, now)
        else:
            now = max(now, min(head.earliest or now, now + timedelta(days=40)))
        now += STEP
    return now


def _done(hull: Hull, status: StageStatus, now: datetime) -> Outcome:
    key, spec, who = status.spec.key, status.spec, hand(at=now)
    match status.next:
        case Action.START:
            return bench.start_stage(hull_id=hull.pk, stage=key, hand=who, wet_method=True)
        case Action.MOVE:
            assert status.move_to is not None
            return notes.move_hull(hull_id=hull.pk, station=status.move_to.id, hand=who)
        case Action.COAT:
            put_on = {"product": product(str(spec.product)).pk, "surface": str(spec.surface)}
            return bench.apply_coat(hull_id=hull.pk, stage=key, hand=who, **put_on)  # type: ignore[arg-type]
        case Action.SAND:
            return bench.sand(
                hull_id=hull.pk, stage=key, surface=str(spec.surface), grit=220, hand=who, wet_method=True
            )
        case Action.RAGS:
            return bench.deal_with_rags(hull_id=hull.pk, stage=key, hand=who)
    return finish(hull_id=hull.pk, stage=key, hand=who)

"""One hull from arrival to hand-over, through the services alone."""

from datetime import timedelta

import pytest
from django.utils import timezone

from hulls.models import Hull
from stages.audit import differences
from stages.engine.assess import StageStatus, assess, headline
from stages.engine.vocab import Action, State
from stages.models import Entry, HullWork
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services import bench, notes
from stages.services.air import record_weather
from tests.factories import a_hull, a_shop, hand, product, station

pytestmark = pytest.mark.django_db


def statuses(hull: Hull, now) -> tuple[StageStatus, ...]:
    row = HullWork.objects.select_related("hull__owner", "route").get(hull=hull)
    return assess(in_work([row], around().world)[0].work, now)


def do(hull: Hull, status: StageStatus, now) -> None:
    key, spec, who = status.spec.key, status.spec, hand(at=now)
    match status.next:
        case Action.START:
            outcome = bench.start_stage(hull_id=hull.pk, stage=key, hand=who, wet_method=True)
        case Action.MOVE:
            outcome = notes.move_hull(hull_id=hull.pk, station=status.move_to.id, hand=who)
        case Action.COAT:
            outcome = bench.apply_coat(
                hull_id=hull.pk, stage=key, product=product(spec.product).pk, surface=spec.surface, hand=who
            )
        case Action.SAND:
            outcome = bench.sand(hull_id=hull.pk, stage=key, surface=spec.surface, grit=220, hand=who)
        case Action.RAGS:
            outcome = bench.deal_with_rags(hull_id=hull.pk, stage=key, hand=who)
        case _:
            outcome = bench.finish_stage(hull_id=hull.pk, stage=key, hand=who)
    assert outcome.done, (status.spec.name, status.next, [str(f.words) for f in outcome.findings])


@pytest.mark.parametrize("filler", ["latex", "oil"])
@pytest.mark.parametrize("inside", ["before", "after"])
def test_a_hull_goes_from_arrival_to_hand_over_and_the_audit_holds(filler: str, inside: str) -> None:
    a_shop()
    now = timezone.now() - timedelta(days=110)
    hull = a_hull(arrived=now, filler=filler, inside_varnish=inside)
    notes.move_hull(hull_id=hull.pk, station=station("rack").pk, hand=hand(at=now))
    notes.write_survey(
        hull_id=hull.pk,
        counts={"ribs": 3, "planks": 2, "seats": 2},
        conditions={"brightwork": "flaking"},
        hand=hand(at=now),
    )
    notes.record_lead_test(hull_id=hull.pk, positive=True, hand=hand(at=now))
    for n in range(115):
        record_weather(zone=station("yard").zone, day=timezone.localdate() - timedelta(days=n), dry=True)
    while True:
        head = headline(statuses(hull, now))
        if head is None:
            break
        if head.hands:
            do(hull, head, now)
        assert now < timezone.now(), (head.spec.name, head.state, [str(f.words) for f in head.findings])
        now += timedelta(minutes=30)
    left = [s.spec.key for s in statuses(hull, now) if s.state not in (State.FINISHED, State.LEFT_OUT)]
    assert left == []
    assert list(differences()) == []
    assert Entry.objects.filter(hull=hull, kind="coat").count() >= 12

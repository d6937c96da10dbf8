"""One hull from arrival to hand-over, through the services alone."""

from datetime import timedelta

import pytest
from django.utils import timezone

from stages.audit import differences
from stages.engine.vocab import State
from stages.models import Entry
from stages.services import notes
from stages.services.air import record_weather
from tests.at_work import bring_to, statuses
from tests.factories import a_hull, a_shop, hand, station

pytestmark = pytest.mark.django_db

END = ""


@pytest.mark.parametrize("filler", ["latex", "oil"])
@pytest.mark.parametrize("inside", ["before", "after"])
def test_a_hull_goes_from_arrival_to_hand_over_and_the_audit_holds(filler: str, inside: str) -> None:
    a_shop()
    came = timezone.now() - timedelta(days=110)
    hull = a_hull(arrived=came, filler=filler, inside_varnish=inside)
    notes.move_hull(hull_id=hull.pk, station=station("rack").pk, hand=hand(at=came))
    notes.write_survey(
        hull_id=hull.pk,
        counts={"ribs": 3, "planks": 2, "seats": 2},
        conditions={"brightwork": "flaking"},
        hand=hand(at=came),
    )
    notes.record_lead_test(hull_id=hull.pk, positive=True, hand=hand(at=came))
    for n in range(115):
        record_weather(zone=station("yard").zone, day=timezone.localdate() - timedelta(days=n), dry=True)
    ended = bring_to(hull, END, came)
    assert ended < timezone.now()
    left = [s.spec.key for s in statuses(hull, ended) if s.state not in (State.FINISHED, State.LEFT_OUT)]
    assert left == []
    assert list(differences()) == []
    coats = {"fill": 3 if filler == "latex" else 2, "sealer": 3, "varnish": 2, "oil": 1, "canvas": 1, "preservative": 1}
    finish = {"primer": 2, "enamel": 3, "brightwork": 3}
    assert Entry.objects.filter(hull=hull, kind="coat").count() == sum(coats.values()) + sum(finish.values())

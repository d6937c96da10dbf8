"""Boats that were handed over, as tests of what remains of them want them."""

from datetime import datetime, timedelta

from django.utils import timezone

from hulls.models import Hull
from stages.models import Entry, HullWork
from stages.queries.routes import engine_route
from stages.services import bench
from stages.services.notes import strike_entry
from stages.services.orders import Outcome
from tests.at_work import finish
from tests.factories import hand, the_shop_owner
from tests.stages.at_work import SKIP, a_primed_hull


def a_boat_away(tag: str = "H-1", **particulars: str) -> Hull:
    """A hull with one coat of primer that left the shop an hour ago; its other steps were left out."""
    hull = a_primed_hull(tag, coat_at=timezone.now() - timedelta(hours=30), **particulars)
    assert hand_over(hull, timezone.now() - timedelta(hours=1)).done
    return hull


def hand_over(hull: Hull, at: datetime) -> Outcome:
    """Leave out what is not done, and hand a hull over in spite of whatever the rules say."""
    row = HullWork.objects.select_related("route").get(pk=hull.pk)
    over = set(row.stage_states.exclude(finished_at=None, left_out="").values_list("stage", flat=True))
    boss = the_shop_owner()
    for spec in engine_route(row.route).stages:
        if spec.key != "hand_over" and spec.key not in over:
            bench.leave_out(hull_id=hull.pk, stage=spec.key, reason=SKIP, hand=hand(by=boss, at=at, override=SKIP))
    return finish(hull_id=hull.pk, stage="hand_over", hand=hand(by=boss, at=at, override=SKIP))


def strike_last(hull: Hull, kind: str) -> Outcome:
    """Strike the last line of a kind."""
    line = Entry.objects.filter(hull=hull, kind=kind).order_by("-number").values_list("number", flat=True)[0]
    return strike_entry(hull_id=hull.pk, number=line, reason="of another boat", hand=hand(by=the_shop_owner()))

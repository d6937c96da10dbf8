"""Boats at their hand-over, as tests want them."""

from datetime import timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone

from hulls.models import Hull
from shop.models import CrewMember, Shop
from stages.finish.care import care_of_work
from stages.models import HullWork
from stages.queries.routes import engine_route
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services import bench
from stages.services.hand_over import Receipt, hand_over
from stages.services.orders import Hand, Outcome
from tests.factories import hand, the_shop_owner
from tests.stages.at_work import SKIP, a_primed_hull
from tests.stages.behind_the_link import a_photo

SIGNED = "100,180 180,60 260,300 340,60 420,300 500,180;520,180 700,170"
TO = "Ada Reed"


def a_finished_boat(tag: str = "H-1", *, photos: bool = True, **particulars: Any) -> Hull:
    """A hull with one coat of primer on which nothing is left to do but its hand-over, photographed as it leaves."""
    hull = a_primed_hull(tag, coat_at=timezone.now() - timedelta(hours=30), **particulars)
    boss, at = the_shop_owner(), timezone.now() - timedelta(hours=1)
    row = HullWork.objects.select_related("route").get(pk=hull.pk)
    for spec in engine_route(row.route).stages:
        if spec.key not in (*engine_route(row.route).before["prime"], "hand_over"):
            bench.leave_out(hull_id=hull.pk, stage=spec.key, reason=SKIP, hand=hand(by=boss, at=at, override=SKIP))
    for view in Shop.the_one().final_views if photos else ():
        a_photo(hull, f"{view} as it leaves", at=at, view=view, stage="final")
    return hull


def points_of(hull: Hull) -> tuple[str, ...]:
    """The points of its care talk."""
    row = HullWork.objects.select_related("hull__owner", "route").get(pk=hull.pk)
    return care_of_work(in_work([row], around().world)[0].work)


def a_receipt(hull: Hull, **changed: Any) -> Receipt:
    """All of it talked through, two things given along, signed on the phone."""
    told = {"to": TO, "care": points_of(hull), "goods": ("Two paddles", "A seat pad"), "signature": SIGNED}
    return Receipt(**{**told, **changed})


def goes_home(
    hull: Hull, *, by: CrewMember | None = None, client_id: UUID | None = None, override: str = "", **changed: Any
) -> Outcome:
    """Hand a boat over."""
    who = hand(by=by, override=override)
    if client_id is not None:
        who = Hand(by=who.by, at=who.at, client_id=client_id, override=override)
    return hand_over(hull_id=hull.pk, receipt=a_receipt(hull, **changed), hand=who)

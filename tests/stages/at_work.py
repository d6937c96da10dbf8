"""Hulls in the middle of the work, as tests of pages want them: drying, ready, waiting, and very many."""

from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from hulls.models import Hull, Owner
from shop.models import Station
from stages.models import CoatOn, HullWork, Route, StageState
from stages.queries.routes import engine_route
from stages.services import bench, notes
from tests.factories import a_hull, hand, product, station, the_shop_owner

SKIP = "only this step is looked at"


def a_hull_at(kind: str, tag: str = "H-1", **particulars: Any) -> Hull:
    """A hull that came in a month ago and stands at the first station of a kind."""
    then = timezone.now() - timedelta(days=30)
    hull = a_hull(tag, arrived=then, **particulars)
    notes.move_hull(hull_id=hull.pk, station=station(kind).pk, hand=hand(at=then))
    return hull


def a_primed_hull(tag: str = "H-1", *, coat_at: datetime, **particulars: Any) -> Hull:
    """A hull in the finishing room with its first coat of primer; the steps before it were left out."""
    hull = a_hull_at("finishing", tag, **particulars)
    for key in engine_route(hull.work.route).before["prime"]:
        assert bench.leave_out(hull_id=hull.pk, stage=key, reason=SKIP, hand=hand(at=coat_at)).done
    assert bench.start_stage(hull_id=hull.pk, stage="prime", hand=hand(at=coat_at)).done
    by = hand(by=the_shop_owner(), at=coat_at, override=SKIP)  # there is no canvas under it
    outcome = bench.apply_coat(hull_id=hull.pk, stage="prime", product=product("primer").pk, surface="skin", hand=by)
    assert outcome.done, outcome.findings
    return hull


def many_hulls(count: int) -> None:
    """Hulls spread over all stations, each with a drying coat of primer, and a tenth of them not on the floor yet.

    Written straight into the tables, since only reading is tried on them.
    """
    route, now = Route.objects.get(current=True), timezone.now()
    stations = list(Station.objects.all())
    owner = Owner.objects.create(name="Ada Reed")
    hulls = Hull.objects.bulk_create(
        Hull(
            tag=f"M-{n:03}",
            owner=owner,
            length_m=4.5 + n % 10 / 10,
            beam_m=0.88,
            depth_m=0.31,
            end_depth_m=0.58,
            arrived_on=now.date(),
        )
        for n in range(count)
    )
    works = []
    for n, hull in enumerate(hulls):
        at = stations[n % len(stations)] if n % 10 else None
        place = n // len(stations) + 1 if at else None
        stays = [[at.pk, place, at.zone_id, (now - timedelta(days=2)).isoformat()]] if at else []
        facts = {"stays": stays}
        works.append(HullWork(hull=hull, route=route, station=at, place=place, arrived_at=now, facts=facts, lines=1))
    HullWork.objects.bulk_create(works)
    StageState.objects.bulk_create(
        StageState(work=work, stage="prime", started_at=now - timedelta(hours=9), coats_on=1) for work in works
    )
    primer, zone = product("primer"), stations[0].zone
    CoatOn.objects.bulk_create(
        CoatOn(
            work=work,
            entry=1,
            stage="prime",
            surface="skin",
            layer=0,
            product=primer,
            zone=zone,
            at=now - timedelta(hours=n % 9 + 1),
            number=1,
        )
        for n, work in enumerate(works)
    )
    Station.objects.update(places=count // len(stations) + 2)

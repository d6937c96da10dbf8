"""A boat at the finishing room whose steps before the primer are over, for the tests of the services."""

from datetime import datetime, timedelta

from django.utils import timezone

from hulls.models import Hull
from stages.models import Entry, HullWork
from stages.queries.routes import engine_route
from stages.services import bench, notes
from stages.services.orders import Outcome
from tests.factories import a_hull, hand, product, station, the_shop_owner

ARRIVED = timedelta(days=30)


def days_ago(days: float, hours: float = 0.0) -> datetime:
    """A moment of the past month."""
    return timezone.now().replace(microsecond=0) - timedelta(days=days, hours=hours)


def a_hull_at(kind: str, tag: str = "H-1", **more: object) -> Hull:
    """A boat that came in a month ago and was moved to the station of a kind at once."""
    hull = a_hull(tag, arrived=days_ago(30), **more)  # type: ignore[arg-type]
    assert notes.move_hull(hull_id=hull.pk, station=station(kind).pk, hand=hand(at=days_ago(30))).done
    return hull


def leave_out_before(hull: Hull, key: str) -> None:
    """Leave out every step before one."""
    for before in sorted(engine_route(hull.work.route).before[key]):
        assert bench.leave_out(hull_id=hull.pk, stage=before, reason="done elsewhere", hand=hand(at=days_ago(29))).done


def a_hull_with_sanded_primer(tag: str = "H-1") -> Hull:
    """A boat with its step "prime" in hand: one coat, sanded the day after."""
    hull = a_hull_at("finishing", tag)
    leave_out_before(hull, "prime")
    assert bench.start_stage(hull_id=hull.pk, stage="prime", hand=hand(at=days_ago(20))).done
    assert prime(hull, days_ago(20), override="the old canvas stays").done
    assert sand(hull, days_ago(19)).done
    return hull


def prime(hull: Hull, at: datetime, override: str = "") -> Outcome:
    """Put a coat of primer on, by the shop's owner."""
    return bench.apply_coat(
        hull_id=hull.pk,
        stage="prime",
        product=product("primer").pk,
        surface="skin",
        hand=hand(by=the_shop_owner(), at=at, override=override),
    )


def sand(hull: Hull, at: datetime) -> Outcome:
    """Sand the skin."""
    return bench.sand(hull_id=hull.pk, surface="skin", grit=220, hand=hand(at=at))


def lines(hull: Hull) -> list[str]:
    """The hull's log as "number kind"."""
    return [f"{entry.number} {entry.kind}" for entry in Entry.objects.filter(hull=hull).order_by("number")]


def work(hull: Hull) -> HullWork:
    """The hull's row as it stands in the database."""
    return HullWork.objects.get(pk=hull.pk)


def rules(outcome: Outcome) -> set[str]:
    """What refused."""
    return {finding.rule for finding in outcome.findings if finding.refuses}

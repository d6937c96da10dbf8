"""Gathers the finish record of a hull out of its log, the readings, the stores and its photos."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Q

from hulls.models import Hull, Photo, PhotoState
from hulls.queries.takeoff import hull_take_off
from shop.models import CrewMember, Move, Movement, Reading
from stages.advice.work import work_of_steps
from stages.engine.airlog import AirLog, AirReading
from stages.engine.log import LogEntry, in_force
from stages.engine.state import Coat
from stages.engine.vocab import ProductKind, Surface
from stages.engine.work import Work
from stages.finish.layers import surfaces_of
from stages.finish.receipt import receipt_of
from stages.finish.told import mended, moisture, overrides, people, signed_off
from stages.models import Entry

AROUND = timedelta(hours=6)  # as far apart as readings may lie for the air between them to count as read
OF_THE_BOAT = ("tag", "name", "length_m", "beam_m", "depth_m", "wood", "fittings", "colour", "colour_name")


def gather(hull: Hull, work: Work, log: Iterable[LogEntry], now: datetime) -> dict[str, Any]:
    """The finish record of a hull as plain JSON values, in seven queries.

    Parameters
    ----------
    hull : Hull
        The boat.
    work : Work
        The engine's view of it.
    log : iterable of LogEntry
        Its whole log, strikes included; what was struck does not appear.
    now : datetime
        The moment, aware: until then its last coats have dried, unless it was handed over before.
    """
    lines = in_force(log)
    coats = [coat for surface in Surface for coat in work.state.stack(surface)]
    names = {p.pk: p.called for p in CrewMember.objects.filter(pk__in=people(lines))}
    over = work.state.handed_over_at
    return {
        "hull": {name: getattr(hull, name) for name in OF_THE_BOAT},
        "arrived": work.state.arrived_at.isoformat() if work.state.arrived_at else None,
        "handed_over": over.isoformat() if over else None,
        "surfaces": surfaces_of(
            work, {line.id: line for line in lines}, _lots(hull.pk), _airs(coats), names, over or now
        ),
        "old": [str(surface) for surface in work.state.old_finish],
        "lead": work.state.lead,
        "steps": signed_off(work, names),
        "overrides": overrides(work, lines, names),
        "mended": mended(work, lines),
        "moisture": moisture(work),
        "canvas_kg": _canvas_kg(hull, work, coats),
        "photos": list(_photos(hull.pk)),
        "receipt": receipt_of(lines, names),
    }


def _airs(coats: list[Coat]) -> dict[int, AirLog]:
    """By zone, the readings around the moments of coats: those of months ago are in no process any more."""
    wanted = Q(pk__in=())
    for coat in coats:
        wanted |= Q(zone=coat.zone, at__range=(coat.at - AROUND, coat.at + AROUND))
    by_zone: dict[int, list[AirReading]] = defaultdict(list)
    rows = Reading.objects.filter(wanted, out=False).values_list("zone_id", "at", "air_c", "rh_pct", "surface_c")
    for zone, at, air_c, rh_pct, surface_c in rows:
        by_zone[zone].append(AirReading(at=at, air_c=air_c, rh_pct=rh_pct, surface_c=surface_c))
    return {zone: AirLog.of(found, bridge_h=AROUND.total_seconds() / 3600) for zone, found in by_zone.items()}


def _lots(hull_id: int) -> dict[int, list[str]]:
    """By line of the log, what the cans are called that its coat was poured from."""
    numbers = dict(Entry.objects.filter(hull_id=hull_id).order_by("number").values_list("pk", "number"))
    drawn = Movement.objects.filter(entry__in=list(numbers), kind=Move.DRAWN).select_related("lot").order_by("pk")
    found: dict[int, list[str]] = defaultdict(list)
    for movement in drawn:
        if movement.entry is not None:
            found[numbers[movement.entry]].append(str(movement.lot))
    return found


def _canvas_kg(hull: Hull, work: Work, coats: list[Coat]) -> float | None:
    """What the blank of canvas weighed, reckoned from the hull's lines and the number of the duck."""
    stages = {coat.stage for coat in coats if work.product(coat).kind is ProductKind.CANVAS}
    if not stages:
        return None
    canvas = hull_take_off(hull, work_of_steps([work.route.by_key[key] for key in stages], {})).canvas
    return round(canvas.weight_kg, 2) if canvas and canvas.weight_kg is not None else None


def _photos(hull_id: int) -> Iterable[dict[str, Any]]:
    """The photos that are shared with the boat's owner, those that are still being worked on among them."""
    shared = Photo.objects.filter(hull_id=hull_id, shared=True, struck_at=None, signed_paper=False)
    for photo in shared.exclude(state__in=(PhotoState.REFUSED, PhotoState.GONE)).order_by("taken_at", "pk"):
        yield {"photo": photo.pk, "at": photo.taken_at.isoformat(), "caption": photo.caption}

"""What the watch needs from the table: a sensor's readings before a moment, and how the air moved elsewhere."""

from datetime import datetime, timedelta

from django.db.models import Count, Max, Min, Q, QuerySet

from shop.models import Flag, Reading, Sensor, Zone
from shop.readings.sample import Sample
from shop.readings.watch import OTHERS_MOVE_C, OTHERS_MOVE_PCT, OthersMoved, Past, Run, Trust


def past_of(*, sensor: Sensor, before: Sample) -> Past:
    """What a sensor read before a reading: the last that is believed, and the run of equal ones that goes on."""
    earlier = Reading.objects.filter(sensor=sensor, at__lt=before.at)
    tame = earlier.exclude(flag=Flag.WILD, out=True)
    latest = earlier.order_by("-at").first()
    strayed = latest is not None and latest.flag == Flag.WILD and latest.out
    if strayed:
        latest = tame.order_by("-at").first()
    if latest is None:
        return Past()
    believed = latest if not latest.out else tame.filter(out=False).order_by("-at").first()
    run = _run(tame, latest) if _sample(latest).values == before.values else None
    return Past(last=None if believed is None else _sample(believed), run=run, strayed=strayed)


def _run(tame: QuerySet[Reading], latest: Reading) -> Run:
    values = _sample(latest).values
    if latest.flag == Flag.STUCK:
        trust = Trust.STUCK if latest.out else Trust.BELIEVED
        return Run(values=values, since=latest.at, count=1, trust=trust)
    same = Q(air_c=latest.air_c, rh_pct=latest.rh_pct, surface_c=latest.surface_c)
    other = tame.exclude(same).order_by("-at").values_list("at", flat=True).first()
    run = tame.filter(at__gt=other) if other else tame
    found = run.aggregate(since=Min("at"), count=Count("pk"))
    return Run(values=values, since=found["since"], count=found["count"])


def _sample(row: Reading) -> Sample:
    return Sample(at=row.at, air_c=row.air_c, rh_pct=row.rh_pct, surface_c=row.surface_c)


def others_moved(*, sensor: Sensor) -> OthersMoved:
    """Make the question whether any other sensor, or the hand-held instruments, saw the air move."""

    def moved(since: datetime, until: datetime) -> bool:
        elsewhere = Reading.objects.filter(zone__in=list(Zone.objects.all()), at__range=(since, until), out=False)
        spans = (
            elsewhere.exclude(sensor=sensor)
            .values("zone", "sensor")
            .annotate(c=Max("air_c") - Min("air_c"), pct=Max("rh_pct") - Min("rh_pct"))
            .order_by()
        )
        return any(span["c"] >= OTHERS_MOVE_C or span["pct"] >= OTHERS_MOVE_PCT for span in spans)

    return moved


def every(sensor: Sensor) -> timedelta:
    """How often a sensor sends."""
    return timedelta(minutes=sensor.every_min)

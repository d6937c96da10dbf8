"""How the sensors stand: which are silent, which readings wait for a decision, and what was decided."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Max, Min, QuerySet
from django.utils.functional import Promise

from shop.models import Flag, Reading, Sensor, SensorMove, Shop
from shop.readings.before import every
from shop.readings.saying import FLAG_WORDS
from shop.readings.seen import Wrong
from shop.readings.watch import is_silent
from shop.units import UnitSystem, format_temperature

MOST_READ = 2000
MOST_DECISIONS = 10
APART = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorRow:
    """A sensor, whether it should have been heard by now, and how many of its readings wait for a decision."""

    sensor: Sensor
    silent: bool
    waiting: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FlaggedRun:
    """Readings of one sensor that look wrong in the same way, ready to show in the shop's units."""

    sensor: Sensor
    flag: Flag
    first: datetime
    last: datetime
    count: int
    shows: str
    reason: str | Promise


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What somebody decided on flagged readings."""

    sensor: Sensor
    flag: Flag
    first: datetime
    last: datetime
    count: int
    taken_in: bool
    by: str
    at: datetime


def sensor_rows(*, now: datetime) -> list[SensorRow]:
    """Every sensor, those in use first; two queries."""
    waiting = dict(_undecided().order_by().values_list("sensor").annotate(Count("pk")))
    rows = [
        SensorRow(sensor=sensor, silent=_silent(sensor, now), waiting=waiting.get(sensor.pk, 0))
        for sensor in Sensor.objects.select_related("zone")
    ]
    return sorted(rows, key=lambda row: row.sensor.withdrawn_at is not None)


def moves_of(sensor: Sensor) -> list[SensorMove]:
    """When a sensor left which zone, the last first; one query."""
    return list(SensorMove.objects.filter(sensor=sensor).select_related("left", "by").order_by("-at"))


def _silent(sensor: Sensor, now: datetime) -> bool:
    sends = sensor.token_digest is not None
    return sends and is_silent(sensor.last_heard_at, sensor.added_at, every(sensor), now)


def _undecided() -> QuerySet[Reading]:
    return Reading.objects.filter(out=True, decided_at=None)


def flagged_runs(*, shop: Shop) -> list[FlaggedRun]:
    """Readings that wait for a decision, of each sensor in runs; the oldest `MOST_READ` of them."""
    rows = _undecided().select_related("sensor").order_by("sensor", "at")[:MOST_READ]
    return [_run(run, UnitSystem(shop.units)) for run in _runs(rows)]


def _runs(rows: Iterable[Reading]) -> Iterator[list[Reading]]:
    run: list[Reading] = []
    for row in rows:
        if run and not (_alike(run[-1], row) and row.at - run[-1].at < APART):
            yield run
            run = []
        run.append(row)
    if run:
        yield run


def _alike(one: Reading, other: Reading) -> bool:
    return (one.sensor_id, one.flag) == (other.sensor_id, other.flag)


def _run(run: list[Reading], units: UnitSystem) -> FlaggedRun:
    first, sensor = run[0], run[0].sensor
    if sensor is None:
        raise ValueError("Only readings of sensors are flagged.")
    air = _from_to(*(format_temperature(f(row.air_c for row in run), units) for f in (min, max)))
    rh = _from_to(*(f"{f(row.rh_pct for row in run):.0f}" for f in (min, max)))
    return FlaggedRun(
        sensor=sensor,
        flag=Flag(first.flag),
        first=first.at,
        last=run[-1].at,
        count=len(run),
        shows=f"{air} · {rh} %",
        reason=FLAG_WORDS[Wrong(first.flag)],
    )


def _from_to(lowest: str, highest: str) -> str:
    return lowest if lowest == highest else f"{lowest} – {highest}"


def decisions() -> list[Decision]:
    """The last decisions, the latest first; two queries."""
    decided = Reading.objects.filter(decided_at__isnull=False).values(
        "sensor", "flag", "out", "decided_at", "decided_by__username"
    )
    found = decided.annotate(first=Min("at"), last=Max("at"), count=Count("pk")).order_by("-decided_at")
    last = list(found[:MOST_DECISIONS])
    sensors = Sensor.objects.in_bulk([row["sensor"] for row in last])
    return [
        Decision(
            sensor=sensors[row["sensor"]],
            flag=Flag(row["flag"]),
            first=row["first"],
            last=row["last"],
            count=row["count"],
            taken_in=not row["out"],
            by=row["decided_by__username"],
            at=row["decided_at"],
        )
        for row in last
        if row["decided_at"]
    ]

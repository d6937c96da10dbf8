"""What the watch needs from the table: a sensor's readings around new ones, and how the air moved elsewhere."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Max, Min, Q, QuerySet

from shop.models import Flag, Reading, Sensor, Zone
from shop.readings.jumps import HOME_READINGS, HOME_S, Jumps
from shop.readings.sample import Sample
from shop.readings.seen import Around, Moved, Seen, Span, Wrong
from shop.readings.stays import Stay
from shop.readings.still import GAP_S, STILL_C, STILL_PCT, spread
from shop.readings.watch import LOOK_BACK, watch

CLOSE = timedelta(seconds=GAP_S)
ASTRAY = Q(flag=Flag.WILD, out=True)
WRONG: dict[str, Wrong | None] = {"": None, **{flag.value: Wrong(flag.value) for flag in Flag}}

Rows = QuerySet[Reading]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What the watch found: of each new reading, and which readings on record are to be flagged otherwise."""

    new: list[Wrong | None]
    changed: dict[Wrong | None, list[int]]


def every(sensor: Sensor) -> timedelta:
    """How often a sensor sends."""
    return timedelta(minutes=sensor.every_min)


def look_at(*, sensor: Sensor, stay: Stay, samples: Sequence[Sample]) -> Found:
    """Look at new readings of a sensor, amid those on record.

    Parameters
    ----------
    sensor : Sensor
        Whose they are.
    stay : Stay
        Where it was then: what it read elsewhere says nothing of the air there.
    samples : sequence of Sample
        Readings of that stay, of moments that are not on record, rising in time.
    """
    held = _held(sensor, stay)
    new = [Seen(sample.at.timestamp(), sample.air_c, sample.rh_pct) for sample in samples]
    first, last = samples[0].at, samples[-1].at
    latest = held.order_by("-at").values_list("at", flat=True).first()
    if latest is not None and latest > first:
        return _look_amid(sensor, stay, new, first, last)
    before = _close_before(held, first) if latest is not None else []
    if _is_home(before) or _was_home(held, first):
        return _look(_Table(sensor, stay, [*before, *new][0]), [*before, *new], begin=len(before), at_home=True)
    every_one = [*_seen(held), *new]
    return _look(_Table(sensor, stay, every_one[0]), every_one, begin=0, at_home=False)


def look_again(*, sensor: Sensor, stay: Stay) -> Found:
    """Look anew at all that a sensor read in one place."""
    readings = _seen(_held(sensor, stay))
    if not readings:
        return Found(new=[], changed={})
    return _look(_Table(sensor, stay, readings[0]), readings, begin=0, at_home=False)


def _held(sensor: Sensor, stay: Stay) -> Rows:
    held = Reading.objects.filter(sensor=sensor)
    if stay.since is not None:
        held = held.filter(at__gte=stay.since)
    return held if stay.until is None else held.filter(at__lt=stay.until)


def _look(around: Around, readings: list[Seen], *, begin: int, at_home: bool) -> Found:
    found = watch(readings, begin=begin, jumps=Jumps(at_home=at_home), around=around)
    changed: dict[Wrong | None, list[int]] = {}
    for reading, wrong in zip(readings, found, strict=True):
        if reading.pk is not None and wrong is not reading.flag:
            changed.setdefault(wrong, []).append(reading.pk)
    new = [wrong for reading, wrong in zip(readings, found, strict=True) if reading.pk is None]
    return Found(new=new, changed=changed)


def _look_amid(sensor: Sensor, stay: Stay, new: list[Seen], first: datetime, last: datetime) -> Found:
    """Look at readings that come late: what they change of those around them is found anew."""
    held, begin, until = _held(sensor, stay), first - LOOK_BACK, last + LOOK_BACK
    if not _was_home(held, begin):
        every_one = sorted([*_seen(held), *new])
        return _look(_Table(sensor, stay, every_one[0]), every_one, begin=0, at_home=False)
    before, around = _before(held, begin, LOOK_BACK), _seen(held.filter(at__range=(begin, until)))
    table = _Table(sensor, stay, before[0])
    found = _look(table, sorted([*before, *around, *new]), begin=len(before), at_home=True)
    later = held.filter(at__gt=until)
    if _is_settled(found, [r for r in around if r.at_s > new[-1].at_s]) or not later.exists():
        return found
    return _look(table, sorted([*before, *around, *new, *_seen(later)]), begin=len(before), at_home=True)


def _is_settled(found: Found, after: list[Seen]) -> bool:
    """Whether the sensor is where it was before the late readings came, some time after them."""
    anew = set(found.changed.get(Wrong.WILD, ()))
    return _is_home(after) and not any(reading.astray or reading.pk in anew for reading in after)


def _close_before(held: Rows, at: datetime) -> list[Seen]:
    """Readings before a moment: of some hours, or of days where one half of the sensor stood still in all of them."""
    before = _before(held, at, CLOSE)
    tame = [reading for reading in before if not reading.astray]
    if tame and (_within(STILL_C, [r.air_c for r in tame]) or _within(STILL_PCT, [r.rh_pct for r in tame])):
        return _before(held, at, LOOK_BACK)
    return before


def _within(most: float, values: list[float]) -> bool:
    return not spread(min(values), max(values)) > most


def _before(held: Rows, at: datetime, back: timedelta) -> list[Seen]:
    """Readings of so long before a moment; where none of them is believed, also the last that is."""
    earlier = held.filter(at__lt=at)
    near = _seen(earlier.filter(at__gte=at - back))
    if any(not reading.astray for reading in near):
        return near
    far = earlier.filter(at__lt=at - back)
    believed = _seen(far.exclude(ASTRAY).order_by("-at")[:1])
    last = [] if near else _seen(far.order_by("-at")[:1])
    return [*believed, *(reading for reading in last if reading not in believed), *near]


def _is_home(readings: Sequence[Seen]) -> bool:
    tame = [reading.at_s for reading in readings if not reading.astray]
    return len(tame) >= HOME_READINGS and tame[-1] - tame[0] >= HOME_S


def _was_home(held: Rows, at: datetime) -> bool:
    tame = held.filter(at__lt=at).exclude(ASTRAY)
    first = list(tame.order_by("at").values_list("at", flat=True)[:HOME_READINGS])
    if len(first) < HOME_READINGS:
        return False
    last = tame.order_by("-at").values_list("at", flat=True)[0]
    return (last - first[0]).total_seconds() >= HOME_S


def _seen(rows: Rows) -> list[Seen]:
    ordered = rows if rows.query.order_by else rows.order_by("at")
    columns = ordered.values_list("at", "air_c", "rh_pct", "flag", "out", "decided_at", "pk")
    return [
        Seen(at.timestamp(), air_c, rh_pct, WRONG[flag], out, decided_at is not None, pk)
        for at, air_c, rh_pct, flag, out, decided_at, pk in columns
    ]


class _Table(Around):
    """Answers from the table."""

    def __init__(self, sensor: Sensor, stay: Stay, first: Seen) -> None:
        self._sensor, self._stay, self._first = sensor, stay, first

    def moved(self, since: datetime, until: datetime) -> Moved:
        elsewhere = Reading.objects.filter(zone__in=list(Zone.objects.all()), at__range=(since, until), out=False)
        spans = list(
            elsewhere.exclude(sensor=self._sensor)
            .values("zone", "sensor")
            .annotate(c=Max("air_c") - Min("air_c"), pct=Max("rh_pct") - Min("rh_pct"))
            .order_by()
        )
        here = [span for span in spans if span["zone"] == self._stay.zone_id]
        return Moved(
            here_c=max((span["c"] for span in here), default=0.0),
            here_pct=max((span["pct"] for span in here), default=0.0),
            anywhere_c=max((span["c"] for span in spans), default=0.0),
            anywhere_pct=max((span["pct"] for span in spans), default=0.0),
        )

    def since_taken_in(self) -> Span | None:
        first = datetime.fromtimestamp(self._first.at_s, tz=UTC)
        earlier = _held(self._sensor, self._stay).filter(at__lt=first)
        taken = earlier.filter(flag=Flag.STUCK, out=False, decided_at__isnull=False)
        since = taken.order_by("-at").values_list("at", flat=True).first()
        if since is None:
            return None
        span = earlier.filter(at__gte=since).exclude(ASTRAY)
        return Span(
            **span.aggregate(low_c=Min("air_c"), high_c=Max("air_c"), low_pct=Min("rh_pct"), high_pct=Max("rh_pct"))
        )
